import {
  type IntegratedPeak,
  integrateChromatogram,
} from "../../../toolkit/peaks/integration/integrate-chromatogram.js";
import { learnPeakShapes } from "../../../toolkit/peaks/integration/learn-peak-shapes.js";
import { type MajorProfile, majorProfile } from "../../../toolkit/peaks/riders/major-profile.js";
import type { Chromatogram } from "../../../toolkit/signal/chromatogram.js";
import { subtractBlank } from "../../../toolkit/signal/subtract-blank.js";
import type { Scene, SceneRun } from "./scene.js";

/** What the product made of one run. */
export interface IntegratedRun {
  readonly run: SceneRun;
  readonly peaks: readonly IntegratedPeak[];
}

/** A scene through the product, as a laboratory would use it. */
export interface IntegratedScene {
  readonly standards: readonly IntegratedRun[];
  readonly samples: readonly IntegratedRun[];
}

/**
 * Blanks and standards come first: the course of the programme is taken off every record, the standards give the
 * shapes, the blanks the noise.
 */
export function integrateScene(scene: Scene): IntegratedScene {
  const blanks = scene.blanks.map(({ chromatogram }) => chromatogram);
  const rid = (record: Chromatogram) => subtractBlank(record, blanks).chromatogram;
  const shapes = learnPeakShapes(scene.standards.map(({ chromatogram }) => rid(chromatogram)));
  const integrate = (run: SceneRun): IntegratedRun => {
    const profiles = run.alone === undefined ? [] : profilesOf(rid(run.alone.chromatogram), run.alone.apexes);
    return { run, peaks: integrateChromatogram(run.chromatogram, { blanks, shapes, profiles }).peaks };
  };
  return { standards: scene.standards.map(integrate), samples: scene.samples.map(integrate) };
}

/** Every giant of the record that was injected alone. */
function profilesOf(alone: Chromatogram, apexes: readonly number[]): readonly MajorProfile[] {
  return apexes.map((retentionTime) => majorProfile(alone, { retentionTime }));
}
