const TAB = 9;
const LINE_FEED = 10;
const RETURN = 13;
const SPACE = 32;
const PLUS = 43;
const COMMA = 44;
const MINUS = 45;
const POINT = 46;
const ZERO = 48;

/** Powers of ten that a double holds exactly. */
const POWERS = Float64Array.from({ length: 23 }, (_, k) => Number(`1e${k}`));
/** Below this a whole number is exact, and so is the rounding of its quotient by an exact power of ten. */
const EXACT = 1e15;

/** Where the numbers of a row stand. */
export interface RowShape {
  /** One of comma, semicolon, tab. */
  readonly delimiter: string;
  readonly width: number;
  readonly timeColumn: number;
  readonly signalColumn: number;
}

/**
 * Reads rows of plain numbers (sign, at most 15 digits, decimal point, or comma where it separates no columns)
 * straight from the text, without cutting it into pieces; the values are those `Number` gives. A row with
 * anything else in it is left to slower, careful reading. O(length of the row), no allocation.
 */
export class PlainRows {
  readonly #text: string;
  readonly #delimiter: number;
  readonly #shape: RowShape;
  /** The row last read: its values, the decimals of its time, and where the next row begins. */
  time = 0;
  signal = 0;
  timeDecimals = 0;
  next = 0;
  #value = 0;
  #decimals = 0;
  #end = 0;

  constructor(text: string, shape: RowShape) {
    this.#text = text;
    this.#shape = shape;
    this.#delimiter = shape.delimiter.charCodeAt(0);
  }

  /** Reads the row that begins at `start`; false where it is not plain. */
  read(start: number): boolean {
    const { width, timeColumn, signalColumn } = this.#shape;
    let position = start;
    for (let column = 0; column < width; column++) {
      if (!this.#readNumber(position)) return false;
      if (column === timeColumn) {
        this.time = this.#value;
        this.timeDecimals = this.#decimals;
      } else if (column === signalColumn) this.signal = this.#value;
      position = this.#end;
      if (column === width - 1) break;
      if (this.#text.charCodeAt(position) !== this.#delimiter) return false;
      position++;
    }
    return this.#atLineEnd(position);
  }

  #atLineEnd(position: number): boolean {
    const text = this.#text;
    let at = position;
    if (at < text.length && text.charCodeAt(at) === RETURN) at++;
    if (at < text.length && text.charCodeAt(at) !== LINE_FEED) return false;
    this.next = at + 1;
    return true;
  }

  #readNumber(start: number): boolean {
    const text = this.#text;
    let at = this.#skipBlanks(start);
    let code = text.charCodeAt(at);
    const negative = code === MINUS;
    if (negative || code === PLUS) code = text.charCodeAt(++at);
    let whole = 0;
    let digits = 0;
    let decimals = 0;
    let pastPoint = false;
    for (; ; code = text.charCodeAt(++at)) {
      const digit = code - ZERO;
      if (digit >= 0 && digit <= 9) {
        whole = whole * 10 + digit;
        digits++;
        if (pastPoint) decimals++;
        if (whole >= EXACT || decimals > 22) return false;
      } else if (!pastPoint && (code === POINT || (code === COMMA && this.#delimiter !== COMMA))) {
        pastPoint = true;
      } else break;
    }
    if (digits === 0) return false;
    const value = whole / POWERS[decimals];
    this.#value = negative ? -value : value;
    this.#decimals = decimals;
    this.#end = this.#skipBlanks(at);
    return true;
  }

  #skipBlanks(start: number): number {
    let at = start;
    for (
      let code = this.#text.charCodeAt(at);
      code === SPACE || code === TAB;
      code = this.#text.charCodeAt(++at)
    ) {
      if (code === this.#delimiter) break;
    }
    return at;
  }
}
