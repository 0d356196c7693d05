// The same small notebook twice: ten cells of everyday work, in the language of each kernel. The last cell's result
// proves that both did the same.
export const TRIVIAL = { ours: "1 + 1", peer: "1 + 1" };

export const TEN_CELLS = {
  ours: [
    "const levels = [0.5, 1, 2, 5, 10, 20, 50];",
    "const areas = levels.map((level) => 0.031 * level + 0.002);",
    "const mean = (numbers: number[]) => numbers.reduce((sum, x) => sum + x, 0) / numbers.length;",
    "const [mx, my] = [mean(levels), mean(areas)];\n[mx, my]",
    "let sxy = 0;\nlet sxx = 0;\nlevels.forEach((x, i) => { sxy += (x - mx) * (areas[i] - my); sxx += (x - mx) ** 2; });\nconst slope = sxy / sxx;",
    "interface Found { ion: string; mgPerL: number }\nconst found: Found[] = ['chloride', 'nitrate', 'sulfate'].map((ion, i) => ({ ion, mgPerL: (i + 1) * 4.5 }));",
    "console.log(found.map((each) => each.ion + ' ' + each.mgPerL.toFixed(1) + ' mg/L').join('\\n'));",
    "const text = JSON.stringify(found);\nconst again: Found[] = JSON.parse(text);\nagain.length",
    "let total = 0;\nfor (let i = 0; i < 200000; i++) total += (i % 7) * slope;",
    "[slope.toFixed(6), again.length, Math.round(total)].join(' ')",
  ],
  peer: [
    "levels = [0.5, 1, 2, 5, 10, 20, 50]",
    "areas = [0.031 * level + 0.002 for level in levels]",
    "def mean(numbers):\n    return sum(numbers) / len(numbers)",
    "mx, my = mean(levels), mean(areas)\n[mx, my]",
    "sxy = 0\nsxx = 0\nfor x, y in zip(levels, areas):\n    sxy += (x - mx) * (y - my)\n    sxx += (x - mx) ** 2\nslope = sxy / sxx",
    "from dataclasses import dataclass, asdict\n@dataclass\nclass Found:\n    ion: str\n    mg_per_l: float\nfound = [Found(ion, (i + 1) * 4.5) for i, ion in enumerate(['chloride', 'nitrate', 'sulfate'])]",
    "print('\\n'.join(f'{each.ion} {each.mg_per_l:.1f} mg/L' for each in found))",
    "import json\ntext = json.dumps([asdict(each) for each in found])\nagain = json.loads(text)\nlen(again)",
    "total = 0\nfor i in range(200000):\n    total += (i % 7) * slope",
    "' '.join([f'{slope:.6f}', str(len(again)), str(round(total))])",
  ],
};
