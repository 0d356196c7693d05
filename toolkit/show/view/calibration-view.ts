import type { IonCalibration } from "../../batch/types.js";
import type { Calibration } from "../../calibration/types.js";
import type { DisplayBundle } from "../../display.js";
import { calibrationChart, curveChart } from "../chart/calibration-chart.js";
import { limitText, quantity, trimmed } from "../text/numbers.js";
import { chartBundle } from "./chart-bundle.js";

/** The calibration of an ion in a batch: curve, relative errors, limits and verdict. */
export function ionCalibrationView(calibration: IonCalibration): Promise<DisplayBundle> {
  const { ion, curve, lod, loq, low, high, verdict, limitDefinition } = calibration;
  const text = [
    `${ion}: ${verdict}`,
    String(curve),
    `range ${trimmed(low, 3)} to ${quantity(trimmed(high, 3), "mg/L")}`,
    `detection ${quantity(limitText(lod), "mg/L")}, quantification ${quantity(limitText(loq), "mg/L")}: ${limitDefinition}`,
  ];
  return chartBundle(text.join("\n"), calibrationChart(calibration, 300));
}

export function curveView(curve: Calibration): Promise<DisplayBundle> {
  return chartBundle(String(curve), curveChart(curve, 300));
}
