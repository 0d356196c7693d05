/** Part of a page's script: a link into something folded unfolds it first. */
export const UNFOLD_SCRIPT = `
function unfold() {
  let name = "";
  try { name = decodeURIComponent(location.hash.slice(1)); } catch { return; }
  const target = name && document.getElementById(name);
  if (!target) return;
  let folded = false;
  for (let node = target; node; node = node.parentElement) {
    if (node.tagName !== "DETAILS" || node.open) continue;
    node.open = true;
    folded = true;
  }
  if (folded) target.scrollIntoView();
}
addEventListener("hashchange", unfold);
unfold();
`;
