import type { HostileCase } from './types.js';

const MAPPED = 'Pegel\nTag;Uhr;Wert (m³/s);Art\n';
const mapped = (name: string, input: string, used: number, ...issues: string[]): HostileCase => ({
  name: `mapped table: ${name}`,
  read: 'european',
  input: Uint8Array.from([...`${MAPPED}${input}`].map((c) => c.charCodeAt(0) & 255)),
  used,
  issues,
});

export const MAPPED_TABLES: readonly HostileCase[] = [
  mapped('decimal commas and day-first dates', '28.10.2031;23:00;1,25;G\n', 1),
  mapped('a decimal point', '28.10.2031;23:00;1.25;G\n', 0, 'warning value-unreadable'),
  mapped('thousands', '28.10.2031;23:00;1.250,5;G\n', 0, 'warning value-unreadable'),
  mapped('two commas', '28.10.2031;23:00;1,250,5;G\n', 0, 'warning value-unreadable'),
  mapped(
    'month first, and no sign of the other',
    '10.28.2031;23:00;1;G\n01.02.2031;23:00;1;G\n',
    0,
    'fatal time-unreadable',
  ),
  mapped('month first among day first', '10.28.2031;23:00;1;G\n28.10.2031;23:00;1;G\n', 1, 'warning time-unreadable'),
  mapped('an ISO date', '2031-10-28;23:00;1;G\n', 0, 'fatal not-a-time-series', 'warning time-unreadable'),
  mapped('a year of two digits', '28.10.31;23:00;1;G\n', 0, 'fatal not-a-time-series', 'warning time-unreadable'),
  mapped(
    'the thirty-first of a short month',
    '31.11.2031;23:00;1;G\n',
    0,
    'fatal not-a-time-series',
    'warning time-unreadable',
  ),
  mapped('a leap day', '29.02.2032;23:00;1;G\n', 1),
  mapped(
    'a leap day of no leap year',
    '29.02.2031;23:00;1;G\n',
    0,
    'fatal not-a-time-series',
    'warning time-unreadable',
  ),
  mapped('midnight as the end of the day', '28.10.2031;24:00;1;G\n', 1),
  mapped('a missing token', '28.10.2031;23:00;---;G\n', 0, 'warning value-missing'),
  mapped('a missing number, written otherwise', '28.10.2031;23:00;-999,0;G\n', 0, 'warning value-missing'),
  mapped('a refused code', '28.10.2031;23:00;1;X\n', 0, 'warning value-refused'),
  mapped('a refused code among others', '28.10.2031;23:00;1;G X\n', 0, 'warning value-refused'),
  mapped('a refused code inside a word', '28.10.2031;23:00;1;GX\n', 1),
  mapped('the text after the data', '28.10.2031;23:00;1;G\nEnde\n"never closed;;;\n', 1),
  mapped('the skipped hour', '30.03.2031;01:30;1;G\n', 0, 'fatal not-a-time-series', 'warning time-nonexistent'),
  mapped('a cell without a date', ';23:00;1;G\n', 0, 'fatal not-a-time-series', 'warning time-unreadable'),
  mapped('a cell without a clock', '28.10.2031;;1;G\n', 0, 'fatal not-a-time-series', 'warning time-unreadable'),
  mapped('a table cut by commas', '28.10.2031,23:00,1.25,G\n', 0, 'fatal not-a-time-series', 'warning row-shape'),
  {
    name: 'mapped table: a line for the header and no more',
    read: 'european',
    input: 'Pegel',
    used: 0,
    issues: ['fatal column-missing'],
  },
  {
    name: 'mapped table: a header in another encoding',
    read: 'european',
    input: `${MAPPED}28.10.2031;23:00;1,25;G\n`,
    used: 0,
    issues: ['fatal column-missing'],
  },
];
