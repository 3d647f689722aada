import type { CliIo } from '../../../src/show/cli/cliIo.js';
import { runCli } from '../../../src/show/cli/runCli.js';

export interface CliRun {
  readonly exitCode: number;
  readonly out: string;
  readonly err: string;
}

/** One call of the command line with its streams caught. */
export async function runCaught(
  args: readonly string[],
  { terminal = false, columns = 80, env = {} }: { terminal?: boolean; columns?: number; env?: CliIo['env'] } = {},
): Promise<CliRun> {
  let [out, err] = ['', ''];
  const exitCode = await runCli(args, {
    out: (text) => void (out += text),
    err: (text) => void (err += text),
    outIsTerminal: terminal,
    // The moving bar writes to the process itself; tests look at the plain lines.
    errIsTerminal: false,
    columns,
    env,
  });
  return { exitCode, out, err };
}
