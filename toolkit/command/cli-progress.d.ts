/** The part of cli-progress that is used here; the package carries no types of its own. */
declare module "cli-progress" {
  export interface BarOptions {
    readonly format?: string;
    readonly stream?: NodeJS.WritableStream;
    readonly hideCursor?: boolean;
    readonly clearOnComplete?: boolean;
    readonly barsize?: number;
  }
  export const Presets: { readonly shades_classic: BarOptions };
  export class SingleBar {
    constructor(options: BarOptions, preset?: BarOptions);
    start(total: number, start: number, payload?: Readonly<Record<string, unknown>>): void;
    update(current: number, payload?: Readonly<Record<string, unknown>>): void;
    setTotal(total: number): void;
    stop(): void;
  }
}
