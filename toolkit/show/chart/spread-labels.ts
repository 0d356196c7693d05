/**
 * Heights for labels that stand below each other, as near to their wishes as a least distance between them allows, in the
 * order of the wishes; all within 0 and `height` as long as there is room.
 */
export function spreadLabels(wishes: readonly number[], distance: number, height: number): readonly number[] {
  const order = wishes.map((_, i) => i).sort((a, b) => wishes[a] - wishes[b]);
  // Labels that would touch move as one block about the mean of their wishes.
  const blocks: { sum: number; members: number[] }[] = [];
  const topOf = (block: (typeof blocks)[number]): number => {
    const length = (block.members.length - 1) * distance;
    const wished = block.sum / block.members.length - length / 2;
    return Math.max(0, Math.min(wished, height - length));
  };
  for (const index of order) {
    blocks.push({ sum: wishes[index], members: [index] });
    while (blocks.length > 1) {
      const [above, below] = [blocks[blocks.length - 2], blocks[blocks.length - 1]];
      if (topOf(above) + above.members.length * distance <= topOf(below)) break;
      blocks.splice(-2, 2, { sum: above.sum + below.sum, members: [...above.members, ...below.members] });
    }
  }
  const places = new Array<number>(wishes.length).fill(0);
  for (const block of blocks) {
    const top = topOf(block);
    block.members.forEach((index, i) => {
      places[index] = top + i * distance;
    });
  }
  return places;
}
