#!/usr/bin/env node
import { processIo } from './cliIo.js';
import { runCli } from './runCli.js';

// What a full disk or a reader that went away does not take is lost: whoever called must know.
process.stdout.on('error', ({ code }: NodeJS.ErrnoException) => {
  process.stderr.write(
    `sightstage: standard output took no more (${code ?? 'unknown'}): what was printed is not whole\n`,
  );
  process.exit(4);
});
process.exitCode = await runCli(process.argv.slice(2), processIo());
