import type { IonCurve } from "../../toolkit/batch/quantify/calibrate-ions.js";
import type { ionLimits } from "../../toolkit/batch/quantify/ion-limits.js";
import type { Batch } from "../../toolkit/batch/types.js";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { nitrite } from "../limits/nitrite.js";
import { methodIon } from "./quantify-objects.js";

// Hand-made injections (invented) around the nitrite data of handbook DETECTION §2.
export const ions = [methodIon("nitrite", 5)];
export const batches = [{ method: { ions } } as unknown as Batch];
export const curve = calibrate(nitrite.calibration ?? [], { ion: "nitrite" });
export const fitted: IonCurve = {
  ion: ions[0],
  curve,
  points: [],
  modelMisfit: 0,
  lowestLevel: 0.01,
  highestLevel: 0.2,
};
export const repeatability = { relative: 0, dof: 10, traces: [0] } as unknown as Parameters<
  typeof ionLimits
>[3];
