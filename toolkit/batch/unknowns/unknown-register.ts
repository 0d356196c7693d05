import { DISPLAY, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { ion as ionOf } from "../../ions/ion-table.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import type { UnknownEvidence, UnknownNaming, UnknownRegister } from "../unknown-types.js";

/** What a register holds before it can be asked. */
export type PlainRegister = Pick<UnknownRegister, "unknowns" | "ofBlanks" | "namings">;

/** Gives a plain register the way to name a peak, and those a notebook and a terminal show it. */
export function makeRegister(plain: PlainRegister): UnknownRegister {
  const register: UnknownRegister = {
    kind: "unknown-register",
    ...plain,
    name: (naming) => named(plain, naming),
    toString: () => textOf(plain),
    [DISPLAY]: () => displayOf(register),
  };
  return register;
}

function named(plain: PlainRegister, given: UnknownNaming): UnknownRegister {
  requireKnownOptions<UnknownNaming>(given, { unknown: true, ion: true, on: true, evidence: true }, "name");
  const peak = plain.unknowns.find(({ name }) => name === given.unknown);
  if (peak === undefined) {
    throw new IonbookError(
      "unknown-peak",
      `there is no "${String(given.unknown)}" here, but ${plain.unknowns.map(({ name }) => name).join(", ") || "no unidentified peak at all"}`,
    );
  }
  const ion = ionOf(given.ion);
  if (Math.sign(ion.charge) !== (peak.channel === "anion" ? -1 : 1)) {
    throw new IonbookError("contradicting-evidence", `${ion.name} is no ion of the ${peak.channel} channel`);
  }
  if (
    typeof given.on !== "string" ||
    !/^\d{4}-\d\d-\d\d/.test(given.on) ||
    Number.isNaN(Date.parse(given.on))
  ) {
    throw new IonbookError(
      "bad-date",
      `on is "${String(given.on)}": give the day of the naming as 2026-05-12`,
    );
  }
  requireEvidence(ion.name, Math.abs(ion.charge), given.evidence);
  const naming: UnknownNaming = { ...given, ion: ion.name, evidence: [...given.evidence] };
  return makeRegister({
    ...plain,
    namings: [...plain.namings, naming],
    unknowns: plain.unknowns.map((each) => (each === peak ? { ...each, knownAs: naming } : each)),
  });
}

/** @throws IonbookError "no-evidence", "contradicting-evidence" */
function requireEvidence(ion: string, charge: number, evidence: readonly UnknownEvidence[]): void {
  const list = Array.isArray(evidence) ? evidence : [];
  for (const each of list) {
    if (each.kind === "spike-confirmation" && (each.ion !== ion || !each.passed)) {
      throw new IonbookError(
        "contradicting-evidence",
        each.ion === ion
          ? `the spike speaks against ${ion}: ${String(each)}`
          : `the spike was one of ${each.ion}, not of ${ion}`,
      );
    }
    if (each.kind === "charge-from-strengths" && each.charge !== undefined && each.charge !== charge) {
      throw new IonbookError(
        "contradicting-evidence",
        `two eluent strengths show a charge of ${each.charge}, and ${ion} has ${charge}`,
      );
    }
  }
  const enough = list.some(
    (each) =>
      each.kind === "spike-confirmation" || (each.kind === "other method" && String(each.what).trim() !== ""),
  );
  if (enough) return;
  throw new IonbookError(
    "no-evidence",
    `a retention time or a charge is not enough for the name ${ion}: give a spike that passed (spikeConfirmation) or another method's word, { kind: "other method", what: "mass spectrometry, 12 May" }`,
  );
}

function textOf({ unknowns, ofBlanks }: PlainRegister): string {
  if (unknowns.length === 0 && ofBlanks.length === 0) return "Every peak has a name.";
  const lines = unknowns.map(
    ({ name, channel, retentionTime, injections, samples, batches, largest, knownAs, place }) => {
      const most =
        largest === undefined ? "" : `, most (≥ ${String(largest.microequivalents)}) in ${largest.sample}`;
      const guess = place.candidates.map(({ ion }) => ion).join(", ");
      const called =
        knownAs === undefined
          ? guess === ""
            ? ""
            : `; may be ${guess}`
          : `; ${knownAs.ion} since ${knownAs.on}`;
      return `${name} (${channel}s, ${retentionTime.toFixed(2)} min): ${counted(injections, "injection")}, ${counted(samples, "sample")}, ${counted(batches.length, "batch", "batches")}${most}${called}`;
    },
  );
  const blank = ofBlanks.map(
    ({ name, channel, retentionTime, seen, of, batch }) =>
      `${name} (${channel}s, ${retentionTime.toFixed(2)} min): the blanks' own, in ${seen} of ${of} blanks of ${batch}`,
  );
  return [...lines, ...blank].join("\n");
}

function counted(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}
