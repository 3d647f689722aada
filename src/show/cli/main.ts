#!/usr/bin/env node
import { processIo } from './cliIo.js';
import { EXIT } from './exitCodes.js';
import { runCli } from './runCli.js';

// What a full disk does not take is lost, and whoever called must know. A reader that closes early (`… | head`) knows already.
process.stdout.on('error', ({ code }: NodeJS.ErrnoException) => {
  if (code !== 'EPIPE')
    process.stderr.write(
      `sightstage: standard output took no more (${code ?? 'unknown'}): what it holds is not whole\n`,
    );
  process.exit(EXIT.failed);
});
process.exitCode = await runCli(process.argv.slice(2), processIo());
