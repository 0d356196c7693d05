import { exactly, type MeasuredValue } from "../../uncertainty/measured.js";
import type {
  EvaluatedTrace,
  Explanation,
  ExplanationStep,
  Injection,
  IonCalibration,
  MethodIon,
  PeakResult,
  Sample,
  SampleResult,
} from "../types.js";
import { modelWords, whyThisModel } from "./model-words.js";

/** Everything that a result rests on, as far as it is there. */
export interface ResultEvidence {
  readonly result: SampleResult;
  readonly sample: Sample | undefined;
  /** From the injected concentration (mg/L) to the reporting unit. */
  readonly factor: MeasuredValue | undefined;
  readonly injectedConcentration: number | undefined;
  readonly calibration: IonCalibration | undefined;
  readonly methodIon: MethodIon | undefined;
  readonly trace: EvaluatedTrace | undefined;
  readonly peak: PeakResult | undefined;
  readonly injection: Injection | undefined;
  readonly folder: string | undefined;
  readonly file: Explanation["file"];
}

/** The way from the result back to the raw file; what is not there is said, not skipped. */
export function explanationSteps(evidence: ResultEvidence): readonly ExplanationStep[] {
  const { result } = evidence;
  if (result.value === undefined) {
    const why = result.flags.length > 0 ? result.flags.join("; ") : "the method does not cover this ion";
    return [{ step: "result", sentences: [`Not measured: ${why}. It may be present.`] }];
  }
  return [
    { step: "result", sentences: resultSentences(result) },
    { step: "preparation", sentences: preparationSentences(evidence) },
    { step: "calibration", sentences: calibrationSentences(evidence) },
    { step: "area", sentences: areaSentences(evidence) },
    { step: "peak", sentences: peakSentences(evidence) },
    { step: "injection", sentences: injectionSentences(evidence) },
    { step: "record", sentences: recordSentences(evidence) },
  ];
}

function resultSentences({ value, unit, status, detectionLimit, quantificationLimit }: SampleResult) {
  const interval = value?.interval();
  const limits =
    detectionLimit === undefined || quantificationLimit === undefined
      ? []
      : [
          `Limits of this sample: detection ${short(detectionLimit)} ${unit}, quantification ${short(quantificationLimit)} ${unit}.`,
        ];
  const ends = interval
    ? [`The 95 % interval reaches from ${short(interval.low, 4)} to ${short(interval.high, 4)} ${unit}.`]
    : [];
  return [`${value}, ${status}.`, ...ends, ...limits];
}

function preparationSentences({ result, sample, factor, injectedConcentration }: ResultEvidence) {
  if (sample === undefined || factor === undefined || injectedConcentration === undefined) return [];
  const { dilution = 1 } = result;
  const diluted =
    dilution === 1
      ? "injected undiluted"
      : `diluted ${short(dilution)} times${relative(factor, sample.preparation === "direct")}`;
  const { massGrams, uMassGrams, volumeMilliliters, uVolumeMilliliters, dryFraction } = sample;
  const extract =
    sample.preparation === "direct"
      ? []
      : [
          `${withU(massGrams, uMassGrams, "g")} were extracted with ${withU(volumeMilliliters, uVolumeMilliliters, "mL")}${
            dryFraction === undefined ? "" : `, dry fraction ${short(dryFraction)}`
          }: ${short(factor.value, 4)} ${result.unit} for each mg/L injected.`,
        ];
  const where = sample.collectedAt === undefined ? "" : `, collected ${sample.collectedAt.replace("T", " ")}`;
  return [
    `Sample ${sample.sample} (samples.csv, line ${sample.line})${where}, ${diluted}.`,
    ...extract,
    `The solution injected held ${short(injectedConcentration, 4)} mg/L.`,
  ];
}

function calibrationSentences({ calibration, injectedConcentration }: ResultEvidence) {
  if (calibration === undefined) return ["No calibration belongs to this ion."];
  const { curve, low, high, points } = calibration;
  const left = points.filter((point) => point.rejected !== undefined);
  const letter = curve.model === "weak" ? "a" : "b";
  const first = curve.model === "weak" ? 1 : 0;
  const coefficients = curve.coefficients
    .map(
      (value, k) =>
        `${letter}${"₀₁₂"[k + first]} = ${short(value, 5)} ± ${short(curve.standardErrors[k], 2)}`,
    )
    .filter((_, k) => !(curve.model === "through-zero" && k === 0));
  const inside =
    injectedConcentration === undefined || (injectedConcentration >= low && injectedConcentration <= high)
      ? ""
      : injectedConcentration > high
        ? " The solution lies above it."
        : " The solution lies below its lowest level.";
  return [
    `A ${modelWords(calibration)} through ${points.length - left.length} readings from ${short(low)} to ${short(high)} mg/L.${inside}`,
    `${coefficients.join(", ")} (u), ${curve.dof} degrees of freedom.`,
    ...left.map((point) => `Left out: ${point.injection} (${point.rejected}).`),
    ...whyThisModel(calibration),
  ];
}

function areaSentences({ peak, trace, calibration, injectedConcentration }: ResultEvidence) {
  const over = "over a smooth baseline drawn through the stretches without peaks";
  const noise = trace === undefined ? [] : [`Noise ${short(trace.noise, 2)} µS/cm.`];
  if (peak === undefined) {
    const area =
      calibration && injectedConcentration !== undefined
        ? `${short(calibration.curve.respond(injectedConcentration), 3)} µS/cm·min `
        : "";
    return [`${area}in a fixed window about the expected time, ${over}.`, ...noise];
  }
  const rule: Readonly<Record<PeakResult["rule"], string>> = {
    summation: "by summation of the signal",
    "joint fit": "by a joint fit of overlapping peaks",
    "rider fit": "by a fit of the peak on its neighbour's tail",
    "fixed window": "in a fixed window",
  };
  return [
    `${peak.area} ${rule[peak.rule]} from ${peak.start.toFixed(2)} to ${peak.end.toFixed(2)} min, ${over}.`,
    ...noise,
  ];
}

function peakSentences({ peak, methodIon }: ResultEvidence) {
  const expected =
    methodIon === undefined
      ? ""
      : `, where the method expects ${methodIon.retentionTime} ± ${methodIon.window} min`;
  if (peak === undefined) return [`No peak was found${expected}.`];
  const resolution =
    peak.resolutionNext === undefined ? "" : `, resolution from the next ${short(peak.resolutionNext, 2)}`;
  return [
    `Apex at ${peak.retentionTime.toFixed(3)} min${expected}.`,
    `Height ${short(peak.height)} µS/cm, signal to noise ${short(peak.signalToNoise, 2)}${resolution}.`,
    `Its name is ${peak.identity}.`,
  ];
}

function injectionSentences({ injection, folder }: ResultEvidence) {
  if (injection === undefined) return ["No injection belongs to it."];
  const { id, injectedAt, kind, line, remark } = injection;
  return [
    `${id}, a ${kind}, injected ${injectedAt.replace("T", " ")} (worksheet.csv of ${folder ?? "the batch"}, line ${line}).`,
    ...(remark === undefined ? [] : [`Remark: ${remark}.`]),
  ];
}

function recordSentences({ file, injection }: ResultEvidence) {
  if (file === undefined) return [`${injection?.signal ?? "The record"}: no hash was kept.`];
  return [`${file.path}, SHA-256 ${file.sha256}.`];
}

function relative(factor: MeasuredValue, alone: boolean): string {
  return alone && factor.u > 0 ? ` (u = ${short((100 * factor.u) / factor.value, 2)} %)` : "";
}

function withU(value: number | undefined, u: number, unit: string): string {
  if (value === undefined) return `an unknown amount (${unit})`;
  return u > 0 ? `${value} ${unit} (u = ${short(u, 2)} ${unit})` : String(exactly(value, unit));
}

function short(value: number, digits = 3): string {
  return Number(value.toPrecision(digits)).toString().replace(/^-/, "−");
}
