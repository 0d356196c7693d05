import { Presets, SingleBar } from "cli-progress";

/** One line that says how far the work is. */
export interface ProgressLine {
  update(done: number, of: number, what: string): void;
  /** Leaves the terminal clean for what is printed next. */
  stop(): void;
}

/**
 * A live bar on a terminal; elsewhere (a file, a pipe, NO_COLOR or a "dumb" terminal) one plain line for each new
 * kind of work. `counted` says what is counted. Written to `stream`, standard error by default, so that the summary can be piped on.
 */
export function progressLine(
  counted = "injections",
  stream: NodeJS.WriteStream = process.stderr,
): ProgressLine {
  const live = stream.isTTY === true && process.env.NO_COLOR === undefined && process.env.TERM !== "dumb";
  return live ? liveBar(stream, counted) : plainLines(stream, counted);
}

function liveBar(stream: NodeJS.WriteStream, counted: string): ProgressLine {
  const format = `{bar} {value}/{total} ${counted} · {what}`;
  const bar = new SingleBar(
    { format, stream, hideCursor: true, clearOnComplete: true, barsize: 24 },
    Presets.shades_classic,
  );
  let started = false;
  return {
    update(done, of, what) {
      if (started) {
        bar.setTotal(of);
        bar.update(done, { what });
      } else bar.start(of, done, { what });
      started = true;
    },
    stop() {
      if (started) bar.stop();
    },
  };
}

function plainLines(stream: NodeJS.WriteStream, counted: string): ProgressLine {
  let before = "";
  return {
    update(done, of, what) {
      if (what === before) return;
      before = what;
      stream.write(`${what} (${done} of ${of} ${counted} done)\n`);
    },
    stop() {},
  };
}
