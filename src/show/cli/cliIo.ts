/** The terminal as the commands see it; tests put their own in its place. */
export interface CliIo {
  out(text: string): void;
  err(text: string): void;
  /** True when the output goes to a terminal: colour and a moving bar are for people only. */
  readonly outIsTerminal: boolean;
  readonly errIsTerminal: boolean;
  readonly columns: number;
  readonly env: Readonly<Record<string, string | undefined>>;
}

/** This process's own streams. */
export function processIo(): CliIo {
  return {
    out: (text) => void process.stdout.write(text),
    err: (text) => void process.stderr.write(text),
    outIsTerminal: process.stdout.isTTY,
    errIsTerminal: process.stderr.isTTY,
    columns: process.stdout.columns || 80,
    env: process.env,
  };
}

/** Whether escape codes are wanted: on a terminal, unless NO_COLOR is set (no-color.org) or the terminal is dumb. */
export function wantsColour(io: CliIo): boolean {
  return io.outIsTerminal && !io.env['NO_COLOR'] && io.env['TERM'] !== 'dumb';
}
