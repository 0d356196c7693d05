import type { AcidEntry } from "./ion-entry.js";

/** Organic acids and amines: forms from the most to the least protonated, pKa at 25 °C and zero ionic strength. */
export const ORGANIC_ACIDS: readonly AcidEntry[] = [
  {
    system: "formate",
    forms: [
      ["formic acid", "HCOOH"],
      ["formate", "HCOO-"],
    ],
    pKa: [3.75],
    source: "crc-pka",
  },
  {
    system: "acetate",
    forms: [
      ["acetic acid", "CH3COOH"],
      ["acetate", "CH3COO-"],
    ],
    pKa: [4.756],
    source: "crc-pka",
  },
  {
    system: "propionate",
    forms: [
      ["propionic acid", "C2H5COOH"],
      ["propionate", "C2H5COO-"],
    ],
    pKa: [4.87],
    source: "crc-pka-memory",
  },
  {
    system: "butyrate",
    forms: [
      ["butyric acid", "C3H7COOH"],
      ["butyrate", "C3H7COO-"],
    ],
    pKa: [4.83],
    source: "crc-pka-memory",
  },
  {
    system: "valerate",
    forms: [
      ["valeric acid", "C4H9COOH"],
      ["valerate", "C4H9COO-"],
    ],
    pKa: [4.83],
    source: "crc-pka-memory",
  },
  {
    system: "lactate",
    forms: [
      ["lactic acid", "CH3CH(OH)COOH"],
      ["lactate", "CH3CH(OH)COO-"],
    ],
    pKa: [3.86],
    source: "crc-pka-memory",
  },
  {
    system: "glycolate",
    forms: [
      ["glycolic acid", "HOCH2COOH"],
      ["glycolate", "HOCH2COO-"],
    ],
    pKa: [3.83],
    source: "crc-pka-memory",
  },
  {
    system: "pyruvate",
    forms: [
      ["pyruvic acid", "CH3COCOOH"],
      ["pyruvate", "CH3COCOO-"],
    ],
    pKa: [2.39],
    source: "crc-pka-memory",
  },
  {
    system: "gluconate",
    forms: [
      ["gluconic acid", "C6H12O7"],
      ["gluconate", "C6H11O7-"],
    ],
    pKa: [3.86],
    source: "crc-pka-memory",
  },
  {
    system: "benzoate",
    forms: [
      ["benzoic acid", "C6H5COOH"],
      ["benzoate", "C6H5COO-"],
    ],
    pKa: [4.204],
    source: "crc-pka",
  },
  {
    system: "salicylate",
    forms: [
      ["salicylic acid", "C6H4(OH)COOH"],
      ["salicylate", "C6H4(OH)COO-"],
    ],
    pKa: [2.98],
    source: "crc-pka-memory",
    note: "only the carboxylic step",
  },
  {
    system: "chloroacetate",
    forms: [
      ["chloroacetic acid", "CH2ClCOOH"],
      ["chloroacetate", "CH2ClCOO-"],
    ],
    pKa: [2.87],
    source: "crc-pka-memory",
  },
  {
    system: "dichloroacetate",
    forms: [
      ["dichloroacetic acid", "CHCl2COOH"],
      ["dichloroacetate", "CHCl2COO-"],
    ],
    pKa: [1.35],
    source: "crc-pka-memory",
  },
  {
    system: "oxalate",
    forms: [
      ["oxalic acid", "H2C2O4"],
      ["hydrogenoxalate", "HC2O4-"],
      ["oxalate", "C2O4^2-"],
    ],
    pKa: [1.25, 4.27],
    source: "martell-smith",
    note: "second constant disputed: 3.81 is widely copied from the CRC Handbook, 4.27 is the zero-ionic-strength value of the critical compilations and is used here",
  },
  {
    system: "malonate",
    forms: [
      ["malonic acid", "CH2(COOH)2"],
      ["hydrogenmalonate", "C3H3O4-"],
      ["malonate", "CH2(COO)2^2-"],
    ],
    pKa: [2.85, 5.7],
    source: "crc-pka-memory",
  },
  {
    system: "succinate",
    forms: [
      ["succinic acid", "C2H4(COOH)2"],
      ["hydrogensuccinate", "C4H5O4-"],
      ["succinate", "C2H4(COO)2^2-"],
    ],
    pKa: [4.21, 5.64],
    source: "crc-pka-memory",
  },
  {
    system: "glutarate",
    forms: [
      ["glutaric acid", "C3H6(COOH)2"],
      ["hydrogenglutarate", "C5H7O4-"],
      ["glutarate", "C3H6(COO)2^2-"],
    ],
    pKa: [4.32, 5.42],
    source: "crc-pka-memory",
  },
  {
    system: "fumarate",
    forms: [
      ["fumaric acid", "C2H2(COOH)2"],
      ["hydrogenfumarate", "C4H3O4-"],
      ["fumarate", "C2H2(COO)2^2-"],
    ],
    pKa: [3.02, 4.38],
    source: "crc-pka-memory",
  },
  {
    system: "maleate",
    forms: [
      ["maleic acid", "C2H2(COOH)2"],
      ["hydrogenmaleate", "C4H3O4-"],
      ["maleate", "C2H2(COO)2^2-"],
    ],
    pKa: [1.92, 6.23],
    source: "crc-pka-memory",
    note: "second constant differs between compilations",
  },
  {
    system: "malate",
    forms: [
      ["malic acid", "C4H6O5"],
      ["hydrogenmalate", "C4H5O5-"],
      ["malate", "C4H4O5^2-"],
    ],
    pKa: [3.4, 5.11],
    source: "crc-pka-memory",
    note: "compilations differ by up to 0.1",
  },
  {
    system: "tartrate",
    forms: [
      ["tartaric acid", "C4H6O6"],
      ["hydrogentartrate", "C4H5O6-"],
      ["tartrate", "C4H4O6^2-"],
    ],
    pKa: [2.98, 4.34],
    source: "crc-pka-memory",
  },
  {
    system: "phthalate",
    forms: [
      ["phthalic acid", "C6H4(COOH)2"],
      ["hydrogenphthalate", "C8H5O4-"],
      ["phthalate", "C6H4(COO)2^2-"],
    ],
    pKa: [2.943, 5.432],
    source: "crc-pka-memory",
  },
  {
    system: "citrate",
    forms: [
      ["citric acid", "C6H8O7"],
      ["dihydrogencitrate", "C6H7O7-"],
      ["hydrogencitrate", "C6H6O7^2-"],
      ["citrate", "C6H5O7^3-"],
    ],
    pKa: [3.13, 4.76, 6.4],
    source: "crc-pka",
  },
  {
    system: "methylamine",
    forms: [
      ["methylammonium", "CH3NH3+"],
      ["methylamine", "CH3NH2"],
    ],
    pKa: [10.66],
    source: "crc-pka-memory",
  },
  {
    system: "dimethylamine",
    forms: [
      ["dimethylammonium", "(CH3)2NH2+"],
      ["dimethylamine", "(CH3)2NH"],
    ],
    pKa: [10.73],
    source: "crc-pka-memory",
  },
  {
    system: "trimethylamine",
    forms: [
      ["trimethylammonium", "(CH3)3NH+"],
      ["trimethylamine", "(CH3)3N"],
    ],
    pKa: [9.8],
    source: "crc-pka-memory",
  },
  {
    system: "ethylamine",
    forms: [
      ["ethylammonium", "C2H5NH3+"],
      ["ethylamine", "C2H5NH2"],
    ],
    pKa: [10.65],
    source: "crc-pka-memory",
  },
  {
    system: "diethylamine",
    forms: [
      ["diethylammonium", "(C2H5)2NH2+"],
      ["diethylamine", "(C2H5)2NH"],
    ],
    pKa: [10.84],
    source: "crc-pka-memory",
  },
  {
    system: "triethylamine",
    forms: [
      ["triethylammonium", "(C2H5)3NH+"],
      ["triethylamine", "(C2H5)3N"],
    ],
    pKa: [10.75],
    source: "crc-pka-memory",
  },
  {
    system: "ethanolamine",
    forms: [
      ["2-hydroxyethylammonium", "HOC2H4NH3+"],
      ["ethanolamine", "HOC2H4NH2"],
    ],
    pKa: [9.5],
    source: "crc-pka-memory",
  },
];
