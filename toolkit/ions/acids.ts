import type { AcidEntry } from "./ion-entry.js";

/** Acids and bases of the ion table: forms from the most to the least protonated, pKa at 25 °C and zero ionic strength. */
export const ACIDS: readonly AcidEntry[] = [
  {
    system: "ammonia",
    forms: [
      ["ammonium", "NH4+"],
      ["ammonia", "NH3"],
    ],
    pKa: [9.252],
    source: "usgs-constants",
  },
  {
    system: "carbonate",
    forms: [
      ["carbonic acid", "H2CO3"],
      ["hydrogencarbonate", "HCO3-"],
      ["carbonate", "CO3^2-"],
    ],
    pKa: [6.352, 10.329],
    source: "usgs-constants",
    note: "carbonic acid is the sum of dissolved carbon dioxide and H2CO3",
  },
  {
    system: "phosphate",
    forms: [
      ["phosphoric acid", "H3PO4"],
      ["dihydrogenphosphate", "H2PO4-"],
      ["hydrogenphosphate", "HPO4^2-"],
      ["phosphate", "PO4^3-"],
    ],
    pKa: [2.168, 7.207, 12.346],
    source: "usgs-constants",
  },
  {
    system: "arsenate",
    forms: [
      ["arsenic acid", "H3AsO4"],
      ["dihydrogenarsenate", "H2AsO4-"],
      ["hydrogenarsenate", "HAsO4^2-"],
      ["arsenate", "AsO4^3-"],
    ],
    pKa: [2.26, 6.76, 11.29],
    source: "crc-pka-memory",
    note: "compilations differ by up to 0.2",
  },
  {
    system: "fluoride",
    forms: [
      ["hydrofluoric acid", "HF"],
      ["fluoride", "F-"],
    ],
    pKa: [3.18],
    source: "usgs-constants",
  },
  {
    system: "sulfate",
    forms: [
      ["hydrogensulfate", "HSO4-"],
      ["sulfate", "SO4^2-"],
    ],
    pKa: [1.988],
    source: "usgs-constants",
  },
  {
    system: "borate",
    forms: [
      ["boric acid", "B(OH)3"],
      ["borate", "B(OH)4-"],
    ],
    pKa: [9.24],
    source: "usgs-constants",
  },
  {
    system: "silicate",
    forms: [
      ["silicic acid", "H4SiO4"],
      ["silicate", "H3SiO4-"],
    ],
    pKa: [9.83],
    source: "usgs-constants",
    note: "only the first step; the second lies above pH 13",
  },
  {
    system: "sulfite",
    forms: [
      ["sulfurous acid", "H2SO3"],
      ["hydrogensulfite", "HSO3-"],
      ["sulfite", "SO3^2-"],
    ],
    pKa: [1.85, 7.2],
    source: "crc-pka",
    note: "compilations differ by up to 0.1",
  },
  {
    system: "sulfide",
    forms: [
      ["hydrogen sulfide", "H2S"],
      ["hydrogensulfide", "HS-"],
    ],
    pKa: [7.05],
    source: "crc-pka",
    note: "only the first step; the second lies far above pH 12 and its value is disputed",
  },
  {
    system: "chromate",
    forms: [
      ["hydrogenchromate", "HCrO4-"],
      ["chromate", "CrO4^2-"],
    ],
    pKa: [6.49],
    source: "crc-pka",
  },
  {
    system: "nitrite",
    forms: [
      ["nitrous acid", "HNO2"],
      ["nitrite", "NO2-"],
    ],
    pKa: [3.25],
    source: "crc-pka-memory",
  },
  {
    system: "chlorite",
    forms: [
      ["chlorous acid", "HClO2"],
      ["chlorite", "ClO2-"],
    ],
    pKa: [1.96],
    source: "crc-pka-memory",
  },
  {
    system: "hypochlorite",
    forms: [
      ["hypochlorous acid", "HClO"],
      ["hypochlorite", "ClO-"],
    ],
    pKa: [7.53],
    source: "crc-pka-memory",
  },
  {
    system: "cyanide",
    forms: [
      ["hydrogen cyanide", "HCN"],
      ["cyanide", "CN-"],
    ],
    pKa: [9.21],
    source: "crc-pka",
  },
  {
    system: "cyanate",
    forms: [
      ["cyanic acid", "HOCN"],
      ["cyanate", "OCN-"],
    ],
    pKa: [3.46],
    source: "crc-pka-memory",
  },
  {
    system: "azide",
    forms: [
      ["hydrazoic acid", "HN3"],
      ["azide", "N3-"],
    ],
    pKa: [4.6],
    source: "crc-pka-memory",
  },
  {
    system: "sulfamate",
    forms: [
      ["sulfamic acid", "NH2SO3H"],
      ["sulfamate", "NH2SO3-"],
    ],
    pKa: [1.05],
    source: "crc-pka-memory",
  },
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
