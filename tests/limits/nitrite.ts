import type { LadderData } from "../../toolkit/limits/ladder-types.js";
import { pointsOf } from "../calibration/published.js";

const spikes = [0.0218, 0.0197, 0.0236, 0.0205, 0.0229, 0.0211, 0.0246, 0.0192];

/** Nitrite, mg/L, whole procedure: handbook DETECTION §2 [made-up data]; the counts are those of INTERPRET §5. */
export const nitrite: LadderData = {
  ion: "nitrite",
  blanks: [0.0021, -0.0004, 0.0013, 0.0032, 0.0008, 0.0017, 0.0026, 0.0002, 0.0011, 0.0019],
  spikes: spikes.map((value) => ({ level: 0.02, value })),
  calibration: pointsOf([0, 0.01, 0.02, 0.05, 0.1, 0.2], [0.0012, 0.0131, 0.0258, 0.0612, 0.1239, 0.2451]),
  noise: { concentration: 0.02, height: 0.0182, peakToPeak: 0.0011 },
  confirmation: { level: 0.02, found: spikes.slice(0, 7) },
  counting: { backgroundCounts: 1980, backgroundTime: 7200, grossTime: 3600 },
};
