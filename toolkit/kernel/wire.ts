import { createHmac, randomUUID, timingSafeEqual } from "node:crypto";

/** Version of the messaging protocol that this package speaks. */
export const PROTOCOL_VERSION = "5.4";

export interface Header {
  readonly msg_id: string;
  readonly msg_type: string;
  readonly session: string;
  readonly username: string;
  readonly date: string;
  readonly version: string;
}

/** A message of the Jupyter protocol, as it stands between socket and handler. */
export interface Message {
  /** Routing frames in front of the delimiter; of a published message the topic. */
  readonly identities: readonly Uint8Array[];
  readonly header: Header;
  /** Header of the message that this one answers; empty where there is none. */
  readonly parent: Header | Record<string, never>;
  readonly metadata: Readonly<Record<string, unknown>>;
  readonly content: Readonly<Record<string, unknown>>;
  readonly buffers: readonly Uint8Array[];
}

const DELIMITER = "<IDS|MSG>";
/** Header, parent header, metadata and content: the parts that are signed. */
const SIGNED_PARTS = 4;

/** A message that cannot be used: cut short, not JSON, or not signed with our key. */
export class BrokenMessage extends Error {
  override readonly name = "BrokenMessage";
}

/**
 * Signs, packs and unpacks messages for one connection.
 *
 * @source Jupyter client documentation, "Messaging in Jupyter": the wire protocol (from memory)
 */
export class Wire {
  readonly #key: string;
  readonly #hash: string;

  /**
   * @param key secret of the connection file; with an empty one nothing is signed or checked
   * @param scheme `signature_scheme` of the connection file, "hmac-" and the name of a hash
   */
  constructor(key: string, scheme = "hmac-sha256") {
    this.#key = key;
    this.#hash = scheme.replace(/^hmac-/, "");
  }

  /** A message with a fresh id; with `parent` it answers that message and goes back to its sender. */
  make(
    type: string,
    content: Readonly<Record<string, unknown>>,
    about: {
      readonly session: string;
      readonly parent?: Message | undefined;
      readonly identities?: readonly Uint8Array[];
      readonly metadata?: Readonly<Record<string, unknown>>;
    },
  ): Message {
    return {
      identities: about.identities ?? about.parent?.identities ?? [],
      header: {
        msg_id: randomUUID(),
        msg_type: type,
        session: about.session,
        username: about.parent?.header.username ?? "ionbook",
        date: new Date().toISOString(),
        version: PROTOCOL_VERSION,
      },
      parent: about.parent?.header ?? {},
      metadata: about.metadata ?? {},
      content,
      buffers: [],
    };
  }

  /** The frames to send. */
  encode(message: Message): (Uint8Array | string)[] {
    const { header, parent, metadata, content } = message;
    const parts = [header, parent, metadata, content].map((part) => JSON.stringify(part));
    return [...message.identities, DELIMITER, this.#signature(parts), ...parts, ...message.buffers];
  }

  /** @throws BrokenMessage where frames are missing, the signature is not ours or a part is no JSON */
  decode(frames: readonly Uint8Array[]): Message {
    const at = frames.findIndex((frame) => Buffer.from(frame).toString("latin1") === DELIMITER);
    if (at < 0 || frames.length < at + 2 + SIGNED_PARTS) throw new BrokenMessage("the message is cut short");
    const parts = frames.slice(at + 2, at + 2 + SIGNED_PARTS);
    this.#check(frames[at + 1], parts);
    const [header, parent, metadata, content] = parts.map(parsePart);
    return {
      identities: frames.slice(0, at),
      header: header as unknown as Header,
      parent: parent as unknown as Header,
      metadata,
      content,
      buffers: frames.slice(at + 2 + SIGNED_PARTS),
    };
  }

  #signature(parts: readonly (Uint8Array | string)[]): string {
    if (this.#key === "") return "";
    const hash = createHmac(this.#hash, this.#key);
    for (const part of parts) hash.update(part);
    return hash.digest("hex");
  }

  #check(given: Uint8Array, parts: readonly Uint8Array[]): void {
    if (this.#key === "") return;
    const expected = Buffer.from(this.#signature(parts));
    if (expected.length !== given.length || !timingSafeEqual(expected, given)) {
      throw new BrokenMessage("the message is not signed with the key of this connection");
    }
  }
}

function parsePart(frame: Uint8Array): Record<string, unknown> {
  try {
    return JSON.parse(Buffer.from(frame).toString("utf8"));
  } catch {
    throw new BrokenMessage("a part of the message is no JSON");
  }
}
