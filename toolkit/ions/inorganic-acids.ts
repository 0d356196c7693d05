import type { AcidEntry } from "./ion-entry.js";

/** Ammonia and the inorganic acids: forms from the most to the least protonated, pKa at 25 °C and zero ionic strength. */
export const INORGANIC_ACIDS: readonly AcidEntry[] = [
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
      ["azide", "N3^-"],
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
];
