import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { CreekChart } from '../../chart/types.js';
import { isCardFile } from '../write/isCardFile.js';
import { writeFileSet } from '../write/writeFileSet.js';
import { cardHtml } from './cardHtml.js';
import { CARD_WIDTH, cardSvg } from './cardSvg.js';
import { cardsOf, type Card } from './cardContent.js';
import { findChromium, NO_CHROMIUM, printPdf, takePng } from './chromium.js';
import { levelsCsv, type Decimal } from './levelsCsv.js';
import { readChart } from './readChart.js';

export interface CardFolderOptions {
  /** Where `sightstage chart` wrote to. Default `out`. */
  readonly out?: string;
  /** Decimal mark of levels.csv. Default 'point'. */
  readonly decimal?: Decimal;
  /** False leaves out what needs a Chromium. Default true. */
  readonly pictures?: boolean;
  /** Where CHROME_PATH and PATH are looked up. Default this process's own. */
  readonly env?: Readonly<Record<string, string | undefined>>;
}

export interface CardFolderResult {
  readonly chart: CreekChart;
  readonly cards: readonly Card[];
  /** Paths, in the order written; none without a card. */
  readonly files: readonly string[];
  /** Why pictures are missing that were wanted. */
  readonly missing?: string;
}

/** Pixels to a CSS pixel: 288 to the inch, enough for print. */
const PNG_SCALE = 3;

/**
 * Cards to print and to share, from a chart that was made before: card.html (A5 sheets), levels.csv (for a spreadsheet),
 * card-1.svg and so on, one for each run and usable gauge, and with a Chromium card.pdf and card-1.png and so on.
 * Without a usable gauge nothing is written, and older cards go.
 *
 * @param folder the folder that `sightstage chart` wrote, or the creek folder
 * @throws WrongUse where there is no chart, or an older one than the creek's files; Error when a file cannot be written or
 *   the Chromium fails
 * @example const { files, missing } = await cardFolder('my-creek')
 */
export async function cardFolder(
  folder: string,
  { out = 'out', decimal = 'point', pictures = true, env = process.env }: CardFolderOptions = {},
): Promise<CardFolderResult> {
  const made = readChart(folder, { out });
  const { chart } = made;
  const cards = cardsOf(chart);
  const older = readdirSync(made.folder).filter(isCardFile);
  if (cards.length === 0) {
    await writeFileSet(made.folder, new Map(), { owned: older });
    return { chart, cards, files: [] };
  }
  const chromium = pictures ? findChromium(env) : undefined;
  const drawings = cards.map(cardSvg);
  const page = cardHtml(cards);
  const texts = new Map([
    ['card.html', page],
    ['levels.csv', levelsCsv(chart, { decimal })],
    ...drawings.map(({ svg }, i) => [`card-${i + 1}.svg`, svg] as const),
  ]);
  const taken = chromium === undefined ? [] : await takePictures(chromium, { page, drawings });
  const files = new Map<string, string | Uint8Array>([...texts, ...taken]);
  // One set: a reader never meets a PDF of one chart beside the sheet of another.
  await writeFileSet(made.folder, files, { owned: older });
  return {
    chart,
    cards,
    files: [...files.keys()].map((name) => join(made.folder, name)),
    ...(pictures && chromium === undefined ? { missing: NO_CHROMIUM } : {}),
  };
}

/** The PDF of the page and a PNG of every drawing, made in a folder that nobody else sees: names with their bytes. */
async function takePictures(
  chromium: string,
  { page, drawings }: { page: string; drawings: readonly ReturnType<typeof cardSvg>[] },
): Promise<readonly (readonly [string, Uint8Array])[]> {
  const folder = mkdtempSync(join(tmpdir(), 'sightstage-cards-'));
  const at = (name: string) => join(folder, name);
  try {
    writeFileSync(at('card.html'), page);
    await printPdf(chromium, { file: at('card.html'), pdf: at('card.pdf') });
    for (const [i, { svg, height }] of drawings.entries()) {
      writeFileSync(at('card.svg'), svg);
      await takePng(chromium, {
        file: at('card.svg'),
        png: at(`card-${i + 1}.png`),
        width: CARD_WIDTH,
        height,
        scale: PNG_SCALE,
      });
    }
    return ['card.pdf', ...drawings.map((_, i) => `card-${i + 1}.png`)].map(
      (name) => [name, readFileSync(at(name))] as const,
    );
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
