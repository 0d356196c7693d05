import { type IntegratedPeak, integrateChromatogram } from "../../../toolkit/peaks/integrate-chromatogram.js";
import type { Scene, SceneRun } from "./scene.js";

/** What the product made of one run. */
export interface IntegratedRun {
  readonly run: SceneRun;
  readonly peaks: readonly IntegratedPeak[];
}

/** A scene through the product, as a laboratory would use it. */
export interface IntegratedScene {
  readonly blanks: readonly IntegratedRun[];
  readonly standards: readonly IntegratedRun[];
  readonly samples: readonly IntegratedRun[];
}

export function integrateScene(scene: Scene): IntegratedScene {
  const integrate = (run: SceneRun): IntegratedRun => ({
    run,
    peaks: integrateChromatogram(run.chromatogram).peaks,
  });
  return {
    blanks: scene.blanks.map(integrate),
    standards: scene.standards.map(integrate),
    samples: scene.samples.map(integrate),
  };
}
