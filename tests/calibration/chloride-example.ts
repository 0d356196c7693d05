/** Chloride, three areas a level: handbook CALIBRATION §3 (made-up data). */
export const CHLORIDE: readonly (readonly [concentration: number, areas: readonly number[]])[] = [
  [0.1, [0.0243, 0.0251, 0.0236]],
  [0.5, [0.1229, 0.1204, 0.1217]],
  [2, [0.4871, 0.4803, 0.4922]],
  [5, [1.2305, 1.2121, 1.2214]],
  [10, [2.4702, 2.4329, 2.4466]],
  [20, [4.871, 4.9441, 4.9073]],
];

export const CHLORIDE_POINTS = CHLORIDE.flatMap(([concentration, responses]) =>
  responses.map((response) => ({ concentration, response })),
);
