import { stringify } from 'csv-stringify/sync';
import { FORMULAS, LINES, MARKDOWN, MARKUP, TERMINAL } from './payloads.js';
import { CLASSES, creekJson, flowAt, smallCreek, timeAt, type FolderTexts } from './smallCreek.js';

/** A folder whose every free text carries something hostile and a marker of its own. */
export interface HostileFolder {
  readonly texts: FolderTexts;
  /** Marker -> the field that holds it. */
  readonly markers: ReadonlyMap<string, string>;
}

const KINDS = [MARKUP, FORMULAS, MARKDOWN, TERMINAL] as const;

/**
 * The small creek with hostile texts. Field by field the payload moves on; `turn` moves all of them, and so does the place
 * of a payload before or behind the marker.
 */
export function hostileFolder(turn: number): HostileFolder {
  const markers = new Map<string, string>();
  /** A text for a field: a marker with payloads of different kinds around it, cut to what the field may hold. */
  const evil = (field: string, { most = 60, lines = false }: { most?: number; lines?: boolean } = {}): string => {
    const known = [...markers].find(([, name]) => name === field);
    const n = known === undefined ? markers.size : [...markers.keys()].indexOf(known[0]);
    const marker = `Qz${String(n).padStart(2, '0')}zQ`;
    markers.set(marker, field);
    const kinds = lines ? [...KINDS, LINES] : KINDS;
    const at = n + 7 * turn;
    let text = '';
    for (let k = 0; k < 12; k++) {
      const list = kinds[(at + k) % kinds.length]!;
      const piece = list[(at + 3 * k) % list.length]!;
      const next = k === 0 ? piece + marker : ` ${piece}`;
      if (text.length + next.length > most) break;
      text += next;
    }
    if (!text.includes(marker)) throw new RangeError(`the first payload of ${field} is longer than ${most}`);
    return text.trim();
  };
  const word = new Map(CLASSES.map((one) => [one, evil(`class ${one}`)]));
  const ledge = new Map(['dry', 'wet', 'gone'].map((one) => [one, evil(`feature class ${one}`)]));
  const plain = creekJson();
  const table = {
    columns: { time: evil('time column'), value: evil('value column'), quality: evil('quality column') },
    refuse: [evil('refused code')],
    missing: [evil('missing token')],
  };
  const creek = {
    '//': evil('comment', { most: 500 }),
    ...plain,
    name: evil('creek name', { most: 200 }),
    runs: [
      {
        ...plain.runs[0]!,
        name: evil('run name', { most: 200 }),
        classes: [...word.values()],
        features: [
          {
            id: 'ledge',
            name: evil('feature name', { most: 200 }),
            classes: [...ledge.values()],
            looks: Object.fromEntries([...ledge.values()].map((one, i) => [one, evil(`looks ${i}`, { most: 1000 })])),
          },
          { id: 'staff', name: evil('staff name', { most: 200 }), unit: evil('staff unit', { most: 40 }) },
        ],
      },
    ],
    gauges: [
      {
        ...plain.gauges[0]!,
        name: evil('gauge name', { most: 200 }),
        files: [FILE_NAMES[turn % FILE_NAMES.length]!],
        ...table,
      },
      {
        id: 'second',
        name: evil('second gauge name', { most: 200 }),
        parameter: 'discharge',
        unit: 'ft3/s',
        files: ['gauges/second.rdb'],
        format: 'rdb',
        timeZone: 'UTC',
      },
    ],
    derivedGauges: [{ id: 'both', name: evil('derived name', { most: 200 }), kind: 'sum', of: ['river', 'second'] }],
    // One turn has the logger, the other the staff's readings: each takes fits of its own.
    loggers:
      turn === 1
        ? [
            {
              id: 'own',
              name: evil('logger name', { most: 200 }),
              parameter: 'stage',
              unit: 'm',
              files: ['loggers/own.csv'],
              format: 'delimited',
              columns: { time: 'time', value: 'level' },
              timeZone: 'UTC',
              run: 'gorge',
              kmFromPutIn: 1,
            },
          ]
        : [],
  };
  const small = smallCreek();
  const rows = small.get('visits.csv')!.trim().split('\n').slice(1);
  const visits = rows.map((row) => {
    const [visit, when, , run, feature, saw, who] = row.split(',');
    const [observer, note] = [evil(`observer ${who!}`, { most: 120 }), evil('note', { most: 400, lines: true })];
    const spoken = (feature === 'verdict' ? word : ledge).get(saw!)!;
    return [`${visit!}${evil('visit id')}`, when, '', run, feature, spoken, observer, note];
  });
  // A staff that is read with each verdict: its name and unit go as far as the page's figures.
  const readings = rows.flatMap((row, i) => {
    const [visit, when, , run, feature, saw, who] = row.split(',');
    const k = CLASSES.indexOf(saw!);
    return turn === 0 && feature === 'verdict' && k >= 0 && i % 3 === 0
      ? [
          [
            `${visit!}${evil('visit id')}`,
            when,
            '',
            run,
            'staff',
            String(20 + 10 * k + (i % 5)),
            evil(`observer ${who!}`, { most: 120 }),
            '',
          ],
        ]
      : [];
  });
  const strangers = [
    ['', timeAt(100), '', 'gorge', 'verdict', evil('unknown class', { lines: true }), 'Ana', ''],
    ['', timeAt(110), '', 'gorge', evil('unknown feature', { lines: true }), 'x', 'Ana', ''],
    ['', timeAt(120), '', evil('unknown run', { lines: true }), 'verdict', 'x', 'Ana', ''],
    ['', evil('unreadable time', { lines: true }), '', 'gorge', 'verdict', 'x', 'Ana', ''],
    ['', timeAt(130), evil('give or take', { lines: true }), 'gorge', 'verdict', 'x', 'Ana', ''],
    ['', timeAt(140), '', 'gorge', 'staff', evil('staff number', { lines: true }), 'Ana', ''],
  ];
  const header = [
    'visit',
    'when',
    'give_or_take_min',
    'run',
    'feature',
    'saw',
    'observer',
    'note',
    evil('stray column'),
  ];
  const [, ...record] = small.get('gauges/river.csv')!.trim().split('\n');
  const { time, value, quality } = table.columns;
  const river = [
    [time, value, quality],
    ...record.map((row, i) => [...row.split(','), i % 50 === 7 ? table.refuse[0]! : 'A']),
    [evil('gauge time', { lines: true }), '5', 'A'],
    [timeAt(record.length + 1), evil('gauge value', { lines: true }), 'A'],
    [timeAt(record.length + 2), table.missing[0]!, 'A'],
    [timeAt(record.length + 3), '5', evil('unknown code', { lines: true })],
  ];
  return {
    markers,
    texts: new Map([
      ['creek.json', JSON.stringify(creek)],
      ['visits.csv', stringify([header, ...visits, ...readings, ...strangers])],
      [creek.gauges[0]!.files[0]!, stringify(river)],
      ['gauges/second.rdb', rdb(evil)],
      ['loggers/own.csv', levels()],
    ]),
  };
}

/** Names that mean something to a shell, a page or a table, and that creek.json may name all the same. */
const FILE_NAMES = [
  "gauges/=1+1 [a](b) $(id) & `c` 'd'.csv",
  'gauges/+x;y #1 {{a}} ${b} &lt;b&gt;.csv',
  'gauges/@a ![b](c) --d\u0301 %3Cb%3E.csv',
];

/** Ten days of a logger: an hourly level that goes with the river's flow. */
function levels(): string {
  const rows = Array.from({ length: 240 }, (_, hour) => [
    timeAt(hour),
    (0.4 + 0.1 * Math.log(flowAt(hour - 1))).toFixed(3),
  ]);
  return stringify([['time', 'level'], ...rows]);
}

function rdb(evil: (field: string, options?: { most?: number }) => string): string {
  const flat = (text: string) => text.replace(/[\t\r\n]/g, ' ');
  const rows = Array.from({ length: 24 * 100 }, (_, hour) => {
    const when = timeAt(hour).slice(0, 16).replace('T', ' ');
    const code = hour % 60 === 3 ? flat(evil('RDB code')) : 'A';
    const cell = hour % 70 === 5 ? flat(evil('RDB value')) : (35 * flowAt(hour - 1)).toFixed(0);
    return `USGS\t${flat(evil('RDB site'))}\t${when}\tUTC\t${cell}\t${code}`;
  });
  return [
    `# ${flat(evil('RDB comment', { most: 400 }))}`,
    `#    1  00060  ${flat(evil('RDB description', { most: 200 }))}`,
    'agency_cd\tsite_no\tdatetime\ttz_cd\t1_00060\t1_00060_cd',
    '5s\t15s\t20d\t6s\t14n\t10s',
    ...rows,
    '',
  ].join('\n');
}
