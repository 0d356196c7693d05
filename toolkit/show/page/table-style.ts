const TABLES = `.scroll{position:relative;overflow-x:auto;margin:1rem 0;max-width:100%}
table{border-collapse:collapse;font-size:.8rem;line-height:1.35}
caption{text-align:left;color:var(--soft);padding:0 0 .4rem}
th{font-weight:500;text-align:left;color:var(--soft);vertical-align:bottom}
thead th{white-space:normal}
th,td{padding:.34rem .36rem;white-space:nowrap}
tr>:first-child{padding-left:.2rem}
tbody>tr>*{vertical-align:baseline}
thead tr:last-child>*{border-bottom:1px solid var(--soft)}
tbody+tbody tr:first-child>*{border-top:1px solid var(--hair)}
tbody th{color:var(--ink);font-weight:400;position:sticky;left:0;background:var(--paper);z-index:1}
tbody tr:hover>*{background:var(--wash)}
tbody tr:hover>th{background:linear-gradient(var(--wash),var(--wash)),var(--paper)}
td.num,th.num{text-align:right}
td.text,th.text{white-space:normal;min-width:9rem}
tr[id]:target>*{background:var(--wash)}
td a.v{color:inherit;text-decoration:none}
td a.v:hover{text-decoration:underline}
.u{color:var(--soft);font-size:.86em;display:inline-block;text-align:left;padding-left:.3em}
.mark{color:var(--soft);padding-right:.3em}
.less{color:var(--soft)}
sup.flag{font-size:.7em;line-height:0}
sup.flag a{text-decoration:none}
.ion{color:var(--l)}
.ion b{font-weight:500}
.ion small{display:block;color:var(--soft);font-weight:400}
${padding()}`;

/** Fixed widths in figures, so that decimal points stand below each other. */
function padding(): string {
  const rules: string[] = [];
  for (let count = 1; count <= 7; count += 1) {
    rules.push(`.p${count}{padding-right:${count}ch}.d${count}{padding-right:calc(${count}ch + .28em)}`);
  }
  for (let count = 0; count <= 14; count += 1)
    rules.push(`.w${count}{width:${count}ch;box-sizing:content-box}`);
  return rules.join("");
}

/** Style of our tables, kept to what stands inside an element of class `ionbook`, so that it may enter any page. */
export function tableStyle(): string {
  return TABLES.replace(/(^|\})([^{}]+)\{/g, (_, end: string, selectors: string) => {
    const kept = selectors.split(",").map((selector) => `.ionbook ${selector.trim()}`);
    return `${end}\n${kept.join(",")}{`;
  });
}
