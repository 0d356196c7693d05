type StreamName = "stdout" | "stderr";

/** Output of a stream waiting to be sent. */
interface Held<Parent> {
  readonly parent: Parent;
  readonly name: StreamName;
  readonly parts: string[];
  length: number;
}

export interface StreamMerger<Parent> {
  write(parent: Parent, name: StreamName, text: string): void;
  /** Sends what is held; to be called before anything that must come after it. */
  flush(): void;
}

/** Nobody sees a delay of this many milliseconds, but a thousand lines go out in one message. */
const DELAY = 10;
const LONGEST = 65_536;

/** Joins what is written to the same stream in short succession, so that many small lines do not drown the front end. */
export function createStreamMerger<Parent>(
  send: (parent: Parent, name: StreamName, text: string) => void,
): StreamMerger<Parent> {
  let held: Held<Parent> | undefined;
  let timer: NodeJS.Timeout | undefined;
  const flush = (): void => {
    clearTimeout(timer);
    const sent = held;
    held = undefined;
    if (sent) send(sent.parent, sent.name, sent.parts.join(""));
  };
  return {
    write(parent, name, text) {
      if (held && (held.parent !== parent || held.name !== name || held.length > LONGEST)) flush();
      if (!held) {
        held = { parent, name, parts: [], length: 0 };
        timer = setTimeout(flush, DELAY);
      }
      held.parts.push(text);
      held.length += text.length;
    },
    flush,
  };
}
