/** Forms of one acid that a separation shows as one ion. */
const FORMS: Readonly<Record<string, string>> = {
  dihydrogenphosphate: "phosphate",
  hydrogenphosphate: "phosphate",
  hydrogensulfate: "sulfate",
  hydrogensulfite: "sulfite",
  dihydrogenarsenate: "arsenate",
  hydrogenarsenate: "arsenate",
  hydrogenchromate: "chromate",
  hydrogenoxalate: "oxalate",
  dihydrogencitrate: "citrate",
  hydrogencitrate: "citrate",
};

/** The ion under which a standard's content is counted: all forms of phosphate are phosphate. */
export function analyteOf(name: string): string {
  return FORMS[name] ?? name;
}
