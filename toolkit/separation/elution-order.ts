/** In which order ions leave a kind of column. */
export interface ElutionOrder {
  readonly system: "hydroxide" | "carbonate" | "methanesulfonic acid";
  readonly channel: "anion" | "cation";
  /** Ions of one step elute close together, in an order that changes from column to column. */
  readonly steps: readonly (readonly string[])[];
  readonly source: string;
  /** Which ions leave their place, and when. */
  readonly caution: string;
}

const FROM_MEMORY = "general ion-exchange practice, from memory: the laboratory's own standards go before it";

/** Usual elution orders by eluent; carbonate itself, a system peak, is left out. */
export const ELUTION_ORDERS: readonly ElutionOrder[] = [
  {
    system: "hydroxide",
    channel: "anion",
    steps: [
      ["fluoride"],
      [
        "glycolate",
        "lactate",
        "acetate",
        "propionate",
        "butyrate",
        "formate",
        "methanesulfonate",
        "pyruvate",
      ],
      ["chlorite"],
      ["bromate"],
      ["chloride"],
      ["nitrite"],
      ["chlorate", "bromide", "nitrate"],
      ["succinate", "malate", "malonate", "tartrate", "maleate"],
      ["sulfate"],
      ["oxalate"],
      ["chromate"],
      ["phosphate"],
      ["citrate"],
      ["iodide", "thiocyanate", "perchlorate"],
    ],
    source: FROM_MEMORY,
    caution:
      "divalent ions and phosphate move through the monovalent ones as the eluent gets stronger: sulfate may elute before bromide and nitrate",
  },
  {
    system: "carbonate",
    channel: "anion",
    steps: [
      ["fluoride"],
      ["glycolate", "acetate", "formate"],
      ["chlorite"],
      ["bromate"],
      ["chloride"],
      ["nitrite"],
      ["bromide", "chlorate"],
      ["nitrate"],
      ["phosphate"],
      ["sulfate"],
      ["oxalate"],
      ["iodide"],
      ["thiocyanate"],
      ["perchlorate"],
    ],
    source: FROM_MEMORY,
    caution: "phosphate elutes as HPO4^2−, before sulfate; at high pH of the eluent it comes later",
  },
  {
    system: "methanesulfonic acid",
    channel: "cation",
    steps: [
      ["lithium"],
      ["sodium"],
      ["ammonium"],
      ["methylammonium"],
      ["potassium"],
      ["dimethylammonium", "trimethylammonium"],
      ["rubidium"],
      ["caesium"],
      ["magnesium"],
      ["manganese(II)"],
      ["calcium"],
      ["strontium"],
      ["barium"],
    ],
    source: FROM_MEMORY,
    caution: "with a stronger eluent the divalent cations overtake potassium, rubidium and caesium",
  },
];

/** The order of a channel's eluent by what its method calls it ("hydroxide", "KOH", "carbonate", "MSA"); undefined for another. */
export function elutionOrderOf(
  channel: "anion" | "cation",
  eluent: string | undefined,
): ElutionOrder | undefined {
  const text = eluent ?? "";
  const system = /hydroxide|\b(KOH|NaOH|LiOH)\b/i.test(text)
    ? "hydroxide"
    : /carbonate/i.test(text)
      ? "carbonate"
      : /methane ?sul(f|ph)onic|\bMSA\b/i.test(text)
        ? "methanesulfonic acid"
        : undefined;
  return ELUTION_ORDERS.find((order) => order.system === system && order.channel === channel);
}

/**
 * The ions that usually elute between two others: those of the steps between, and of the steps of the two themselves.
 *
 * @param after the identified ion before the gap, undefined at the beginning of the run
 * @param before the identified ion behind it, undefined at the end
 * @returns undefined where the two stand in another order than usual
 */
export function ionsBetween(
  order: ElutionOrder,
  after: string | undefined,
  before: string | undefined,
): readonly string[] | undefined {
  const stepOf = (ion: string) => order.steps.findIndex((step) => step.includes(ion));
  const from = after === undefined ? 0 : stepOf(after);
  const to = before === undefined ? order.steps.length - 1 : stepOf(before);
  if (from < 0 || to < 0 || from > to) return undefined;
  return order.steps
    .slice(from, to + 1)
    .flat()
    .filter((ion) => ion !== after && ion !== before);
}
