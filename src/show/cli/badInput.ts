import type { CreekInput } from '../../read/types.js';
import { issuesText } from '../text/issuesText.js';
import { plainText } from '../text/plainText.js';
import { stableJson } from '../write/stableJson.js';
import { checkReport } from './checkReport.js';
import type { CliIo } from './cliIo.js';

/** Shows the fatal problems of a folder that nothing can be made of; as JSON everything that `check` would say. */
export function showBadInput(folder: string, input: CreekInput, { asJson, io }: { asJson: boolean; io: CliIo }): void {
  if (asJson) io.out(stableJson(checkReport(input)));
  else
    io.err(
      issuesText(
        input.issues.filter(({ severity }) => severity === 'fatal'),
        { width: io.columns },
      ),
    );
  io.err(`No chart: see every problem with: sightstage check ${plainText(folder)}\n`);
}
