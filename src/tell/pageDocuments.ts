import type { CreekGauges } from '../chart/gauges/types.js';
import type { CreekChart } from '../chart/types.js';
import type { CreekTrust } from '../judge/judgement.js';
import { counted } from '../series/format.js';
import type { Block, Document } from './document.js';

/** What stands behind the answers on a page, in the order a reader asks for it. */
export function pageDocuments({
  chart,
}: {
  chart: CreekChart;
  trust?: CreekTrust | undefined;
  gauges?: CreekGauges | undefined;
}): readonly Document[] {
  return [sourceDocument(chart)];
}

/** Where all this comes from, so that it can be made again and doubted. */
export function sourceDocument({ provenance, notUsed }: CreekChart): Document {
  const { tool, version, seed, options, files, approval } = provenance;
  const told = Object.entries(options)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([name, value]) => `, ${name} ${String(value)}`);
  const body: Block[] = [
    { kind: 'heading', level: 3, text: 'Files, options and version' },
    {
      kind: 'list',
      items: [
        `${tool} ${version}, seed ${seed}${told.join('')}`,
        ...files.map(({ name, bytes, sha256 }) => `${name}: ${bytes} bytes, SHA-256 ${sha256}`),
        ...approval.map(
          ({ gauge, approved, provisional, unknown }) =>
            `readings of ${gauge}: ${approved} approved, ${provisional} provisional, ${unknown} without a state`,
        ),
      ],
    },
    { kind: 'heading', level: 3, text: 'Rows that were not used' },
    notUsed.length === 0
      ? { kind: 'says', text: 'Every row was used.' }
      : {
          kind: 'list',
          items: [
            ...notUsed.map(({ code, rows }) => `${counted(rows, 'row')}: ${code}`),
            'Each row with its reason stands in not-used.csv.',
          ],
        },
  ];
  return { kind: 'document', subject: 'source', title: 'Where this comes from', body };
}
