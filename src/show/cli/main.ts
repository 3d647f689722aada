#!/usr/bin/env node
import { processIo } from './cliIo.js';
import { EXIT } from './exitCodes.js';
import { runCli } from './runCli.js';

// What a full disk or a reader that closed early (`… | head`) did not take is lost, and whoever called must know.
process.stdout.on('error', ({ code }: NodeJS.ErrnoException) => {
  const why = code === 'EPIPE' ? 'was closed early' : `took no more (${code ?? 'unknown'})`;
  process.stderr.write(`sightstage: standard output ${why}: what it holds is not whole\n`);
  process.exit(EXIT.failed);
});
process.stderr.on('error', () => process.exit(EXIT.failed));
process.exitCode = await runCli(process.argv.slice(2), processIo());
