/** What a test's netCDF file holds. */
export interface NetcdfContent {
  readonly attributes: Readonly<Record<string, string>>;
  /** Variables of type float; a list gets a dimension of its own, a number none. */
  readonly variables: Readonly<Record<string, number | readonly number[]>>;
  /** Text attributes of variables. */
  readonly variableAttributes?: Readonly<Record<string, Readonly<Record<string, string>>>>;
}

const DIMENSION = 10;
const VARIABLE = 11;
const ATTRIBUTE = 12;
const CHAR = 2;
const FLOAT = 5;

/**
 * A classic netCDF file (version 1) written by its published layout, for records no published file has.
 *
 * Source: NetCDF Classic Format Specification, Unidata, "File Format Specifications" (from memory; the reader
 * under test, a library, must accept it, and the real file of tests/reference/andi is read by the same code).
 */
export function netcdfFile(content: NetcdfContent): Uint8Array {
  const variables = Object.entries(content.variables);
  const lists = variables.filter(([, value]) => typeof value !== "number");
  const headerOf = (offsets: readonly number[]): Buffer =>
    Buffer.concat([
      Buffer.from("CDF\x01", "latin1"),
      int(0),
      int(DIMENSION),
      int(lists.length),
      ...lists.map(([name, value]) => Buffer.concat([text(`n_${name}`), int((value as number[]).length)])),
      attributes(content.attributes),
      int(VARIABLE),
      int(variables.length),
      ...variables.map(([name, value], i) => {
        const dimension = lists.findIndex(([list]) => list === name);
        return Buffer.concat([
          text(name),
          dimension < 0 ? int(0) : Buffer.concat([int(1), int(dimension)]),
          attributes(content.variableAttributes?.[name] ?? {}),
          int(FLOAT),
          int(4 * valuesOf(value).length),
          int(offsets[i]),
        ]);
      }),
    ]);
  let offset = headerOf(variables.map(() => 0)).length;
  const offsets = variables.map(([, value]) => {
    const at = offset;
    offset += 4 * valuesOf(value).length;
    return at;
  });
  return Buffer.concat([headerOf(offsets), ...variables.flatMap(([, value]) => valuesOf(value).map(float))]);
}

function valuesOf(value: number | readonly number[]): readonly number[] {
  return typeof value === "number" ? [value] : value;
}

function int(value: number): Buffer {
  const buffer = Buffer.alloc(4);
  buffer.writeInt32BE(value);
  return buffer;
}

function float(value: number): Buffer {
  const buffer = Buffer.alloc(4);
  buffer.writeFloatBE(value);
  return buffer;
}

/** Length, characters, padding to a multiple of four. */
function text(value: string): Buffer {
  const characters = Buffer.from(value, "latin1");
  return Buffer.concat([int(characters.length), characters, Buffer.alloc((4 - (characters.length % 4)) % 4)]);
}

function attributes(values: Readonly<Record<string, string>>): Buffer {
  const entries = Object.entries(values);
  if (entries.length === 0) return Buffer.concat([int(0), int(0)]);
  return Buffer.concat([
    int(ATTRIBUTE),
    int(entries.length),
    ...entries.map(([name, value]) => Buffer.concat([text(name), int(CHAR), text(value)])),
  ]);
}
