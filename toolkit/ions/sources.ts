/** Where a number of the ion table comes from, and how it reached the table. */
export interface DataSource {
  /** The publication. */
  readonly text: string;
  /** "read" in a copy of the publication, "from memory", or how it was derived. */
  readonly provenance: string;
}

export type SourceTag = keyof typeof SOURCES;

/** Every source named by the data files of this room, by tag. */
export const SOURCES = {
  "iupac-2021": {
    text: "T. Prohaska et al., Standard atomic weights of the elements 2021, Pure Appl. Chem. 94 (2022) 573, abridged values",
    provenance: "read in a public copy of table 1",
  },
  "iupac-2021-memory": {
    text: "T. Prohaska et al., Standard atomic weights of the elements 2021, Pure Appl. Chem. 94 (2022) 573, abridged values",
    provenance: "from memory",
  },
  crc: {
    text: "P. Vanysek, Ionic conductivity and diffusion at infinite dilution, CRC Handbook of Chemistry and Physics",
    provenance: "read in a public copy of the table per equivalent",
  },
  "crc-memory": {
    text: "P. Vanysek, Ionic conductivity and diffusion at infinite dilution, CRC Handbook of Chemistry and Physics",
    provenance: "from memory",
  },
  "crc-organic": {
    text: "P. Vanysek, Ionic conductivity and diffusion at infinite dilution, CRC Handbook of Chemistry and Physics; Lange's Handbook, limiting equivalent ionic conductances",
    provenance:
      "from memory, compared with a public copy of a handbook list (agrees within 1 %; not independent)",
  },
  "lange-memory": {
    text: "Lange's Handbook of Chemistry, limiting equivalent ionic conductances in aqueous solution, 25 °C",
    provenance: "from memory",
  },
  marcus: {
    text: "Y. Marcus, Ion Properties (1997)",
    provenance: "read in a public copy of the table (molar values divided by charge)",
  },
  "conductivity-list": {
    text: "Handbook tables of limiting equivalent ionic conductivity, 25 °C (CRC Handbook of Chemistry and Physics and its older editions)",
    provenance: "read in a public copy",
  },
  "diffusion-database": {
    text: "Nernst–Einstein λ = |z|DF²/(RT) from the diffusion coefficients of the USGS geochemical database phreeqc.dat, rounded",
    provenance: "derived from a public copy of the database",
  },
  "handbook-memory": {
    text: "Handbook value without a table at hand",
    provenance: "from memory",
  },
  "usgs-constants": {
    text: "Equilibrium constants at 25 °C, ionic strength 0, of the USGS geochemical database phreeqc.dat (carbonate after L.N. Plummer and E. Busenberg, Geochim. Cosmochim. Acta 46 (1982) 1011)",
    provenance: "read in a public copy of the database",
  },
  "crc-pka": {
    text: "CRC Handbook of Chemistry and Physics, dissociation constants of acids, 25 °C",
    provenance: "read in public copies of tables made from it",
  },
  "crc-pka-memory": {
    text: "CRC Handbook of Chemistry and Physics, dissociation constants of acids and bases, 25 °C",
    provenance: "from memory",
  },
  "martell-smith": {
    text: "A.E. Martell and R.M. Smith, Critical Stability Constants, ionic strength 0",
    provenance: "second constant compared with two public tables (4.26 and 4.282); 4.27 from memory",
  },
} as const satisfies Record<string, DataSource>;

/** A source as one line of text: publication and provenance. */
export function sourceText(tag: SourceTag): string {
  const source = SOURCES[tag];
  return `${source.text} [${source.provenance}]`;
}
