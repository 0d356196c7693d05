type Write = (name: "stdout" | "stderr", text: string) => void;

/** Sends what is written to stdout and stderr (also by console) to the running cell instead of the terminal. */
export function captureOutput(write: Write): void {
  for (const name of ["stdout", "stderr"] as const) {
    const decoder = new TextDecoder();
    process[name].write = (
      chunk: string | Uint8Array,
      encoding?: BufferEncoding | ((error?: Error | null) => void),
      callback?: (error?: Error | null) => void,
    ): boolean => {
      const text = typeof chunk === "string" ? chunk : decoder.decode(chunk, { stream: true });
      if (text !== "") write(name, text);
      const done = typeof encoding === "function" ? encoding : callback;
      if (done) process.nextTick(done);
      return true;
    };
  }
}
