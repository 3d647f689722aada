#!/usr/bin/env node
import { processIo } from './cliIo.js';
import { runCli } from './runCli.js';

// A reader that closes early (`sightstage chart … | head`) is no failure of ours.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
});
process.exitCode = await runCli(process.argv.slice(2), processIo());
