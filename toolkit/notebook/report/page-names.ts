/** Gives out ids of a page, each once, and finds them again by the words they were made from. */
export class PageNames {
  private readonly used = new Set<string>();
  private readonly bySlug = new Map<string, string>();

  /** @param taken Ids that the page itself uses. */
  constructor(taken: readonly string[]) {
    for (const id of taken) this.used.add(id);
  }

  /** An id for a heading: its words in lower case, a number behind where that is taken. */
  forHeading(text: string): string {
    const slug = slugOf(text) || "part";
    let id = slug;
    // Names of figures begin like that.
    if (/^output-\d/.test(slug)) id = `part-${slug}`;
    for (let count = 2; this.used.has(id); count += 1) id = `${slug}-${count}`;
    this.used.add(id);
    if (!this.bySlug.has(slug)) this.bySlug.set(slug, id);
    return id;
  }

  /** Where a fragment as people write it ("The-data", "the-data") leads; undefined for nowhere. */
  find(fragment: string): string | undefined {
    return this.bySlug.get(slugOf(fragment)) ?? (this.used.has(fragment) ? fragment : undefined);
  }
}

/** Letters and digits of any script, words joined by hyphens. */
function slugOf(text: string): string {
  return text
    .normalize("NFKC")
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, "-")
    .replace(/^-+|-+$/g, "");
}
