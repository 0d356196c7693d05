import {
  type IntegrateChromatogramOptions,
  type IntegratedPeak,
  integrateChromatogram,
} from "../../../toolkit/peaks/integrate-chromatogram.js";
import { learnPeakShapes } from "../../../toolkit/peaks/learn-peak-shapes.js";
import { type MajorProfile, majorProfile } from "../../../toolkit/peaks/major-profile.js";
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

/** Blanks and standards are evaluated first: they give noise and background, and the shapes. */
export function integrateScene(scene: Scene): IntegratedScene {
  const blanks = scene.blanks.map(({ chromatogram }) => chromatogram);
  const shapes = learnPeakShapes(scene.standards.map(({ chromatogram }) => chromatogram));
  const integrate = (run: SceneRun): IntegratedRun => {
    const options: IntegrateChromatogramOptions & { readonly profiles?: readonly MajorProfile[] } = {
      blanks,
      shapes,
      ...(run.alone && { profiles: profilesOf(run.alone) }),
    };
    return { run, peaks: integrateChromatogram(run.chromatogram, options).peaks };
  };
  return { standards: scene.standards.map(integrate), samples: scene.samples.map(integrate) };
}

/** Every giant of the record that was injected alone. */
function profilesOf({ chromatogram, apexes }: NonNullable<SceneRun["alone"]>): readonly MajorProfile[] {
  return apexes.map((retentionTime) => majorProfile(chromatogram, { retentionTime }));
}
