import { stripVTControlCharacters } from 'node:util';
import { withoutUnseen } from '../../series/unseen.js';

/** The terminal as the commands see it; tests put their own in its place. */
export interface CliIo {
  out(text: string): void;
  err(text: string): void;
  /** Answers a question; left out, the standard input is read. */
  readonly ask?: (question: string) => Promise<string>;
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

/** The only escape codes that this program writes itself: bold, dim, colours and their ends. */
const OWN_CODES = /(\u001b\[\d{1,2}m)/;

/**
 * The same streams with a last door in front: whatever a text holds that came from a file or the command line, no escape
 * code, control or reordering mark passes, but for colours on a terminal that wants them. Texts from outside are cleaned
 * where they enter a line too; this holds for the ones that somebody forgets.
 */
export function guardedIo(io: CliIo): CliIo {
  const plain = (text: string) => withoutUnseen(stripVTControlCharacters(text)).replaceAll('\r', '');
  const coloured = (text: string) =>
    text
      .split(OWN_CODES)
      .map((piece, i) => (i % 2 === 1 ? piece : plain(piece)))
      .join('');
  return {
    ...io,
    out: (text) => io.out(wantsColour(io) ? coloured(text) : plain(text)),
    err: (text) => io.err(plain(text)),
  };
}
