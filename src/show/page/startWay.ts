/// <reference lib="dom" />
/// <reference lib="dom.iterable" />
import type { onTheWay, WayDraws } from '../../chart/day/onTheWay.js';

/** What is seen on the way down a run: as data of the page. */
export interface PageWay {
  readonly run: string;
  readonly zeroFlow: number;
  /** Null where no feature has classes: the lines for the log are all there is. */
  readonly draws: WayDraws | null;
  /** A feature whose classes, lowest first, are taken for the verdict. */
  readonly verdictFrom?: string;
}

/**
 * Brings what is seen on the way to life. The page carries this function's source, so it stands alone.
 *
 * @returns to be called with every new reading of the gauge; undefined where no odds follow from it.
 */
export function startWay(
  form: HTMLFormElement,
  { run, zeroFlow, draws, verdictFrom }: PageWay,
  helpers: {
    readonly onTheWay: typeof onTheWay;
    readonly wholePercents: (odds: readonly number[]) => number[];
    readonly percentText: (percent: number) => string;
  },
): (value: number | undefined, note: string) => void {
  const within = <T extends Element>(selector: string) => form.querySelector<T>(selector)!;
  const told = within<HTMLElement>('.told');
  const log = within<HTMLElement>('.log');
  const lines = within<HTMLTextAreaElement>('textarea');
  const save = within<HTMLAnchorElement>('a[download]');
  const fields = [...form.querySelectorAll<HTMLSelectElement | HTMLInputElement>('[data-see]')];
  const timeOf = (field: Element) => field.parentElement!.querySelector<HTMLInputElement>('[type=time]')!;
  const nameOf = (field: Element) => field.parentElement!.querySelector('label')!.textContent!;
  const two = (n: number) => String(n).padStart(2, '0');
  const clock = (at: Date) => `${two(at.getHours())}:${two(at.getMinutes())}`;
  /** Today at a time of day by the clock of the phone, with its offset, so that no zone has to be guessed later. */
  const stamp = (time: string) => {
    const at = new Date();
    const [hour = 0, minute = 0] = time.split(':').map(Number);
    at.setHours(hour, minute);
    const ahead = -at.getTimezoneOffset();
    const offset = `${ahead < 0 ? '-' : '+'}${two(Math.floor(Math.abs(ahead) / 60))}:${two(Math.abs(ahead) % 60)}`;
    return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}T${clock(at)}${offset}`;
  };
  const cell = (text: string) => (/[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
  const rare = (p: number) => `in ${helpers.percentText(Math.round(100 * p))} of such cases`;
  let reading: number | undefined;
  let readingNote = '';

  /** One sentence for a sighting that does not fit, none for one that does. */
  const doubts = (name: string, tails: ReturnType<typeof onTheWay>['tails'][number], first: boolean): string => {
    const [little, much] = tails.byGauge;
    const [less, more] = tails.afterOthers;
    const against =
      Math.min(little, much) < 0.05
        ? ` ${name} contradicts the gauge: so ${little < much ? 'little or less' : 'much or more'} is seen ` +
          `${rare(Math.min(little, much))}. Trust your eyes, and look again.`
        : '';
    const between =
      !first && Math.min(less, more) < 0.05
        ? ` After what you saw before, so ${less < more ? 'little' : 'much'} is seen at ${name} ` +
          `${rare(Math.min(less, more))}: the creek seems to ${less < more ? 'lose' : 'gain'} water on the way, or ` +
          'one of the two was misread.'
        : '';
    return against + between;
  };
  const saysOf = (seen: readonly (HTMLSelectElement | HTMLInputElement)[]): string => {
    const known = seen.flatMap((field) => {
      const id = field.dataset.see === verdictFrom ? draws?.features[0]!.id : field.dataset.see;
      const feature =
        field === fields[fields.length - 1] ? -1 : (draws?.features.findIndex((one) => one.id === id) ?? -1);
      const classIndex = field instanceof HTMLSelectElement ? field.selectedIndex - 1 : -1;
      return classIndex >= 0 && classIndex < (draws?.features[feature]?.classes.length ?? 0)
        ? [{ feature, classIndex, name: nameOf(field) }]
        : [];
    });
    if (draws === null || known.length === 0) return '';
    if (reading === undefined) return 'Type a reading that visits have met: without one nothing can be worked out.';
    const { odds, tails } = helpers.onTheWay(draws, { x: Math.log(reading - zeroFlow), seen: known });
    const percents = helpers.wholePercents(odds);
    const words = draws.features[0]!.classes.map((word, k) => `${word} ${helpers.percentText(percents[k]!)}`);
    return `Gauge and sightings together: ${words.join(', ')}.${tails.map((one, i) => doubts(known[i]!.name, one, i === 0)).join('')}`;
  };
  const update = () => {
    const seen = fields
      .filter(({ value }) => value.trim() !== '')
      .sort((a, b) => (timeOf(a).value || '99').localeCompare(timeOf(b).value || '99'));
    told.textContent = saysOf(seen);
    log.hidden = seen.length === 0;
    const who = within<HTMLInputElement>('[data-who]').value.trim();
    const rows = seen.map((field) => {
      const [saw, feature] = [field.value.trim(), field.dataset.see!];
      return ['', stamp(timeOf(field).value), '', run, feature, saw, who, readingNote].map(cell).join(',');
    });
    lines.value = ['visit,when,give_or_take_min,run,feature,saw,observer,note', ...rows, ''].join('\n');
    save.href = `data:text/csv;charset=utf-8,${encodeURIComponent(lines.value)}`;
  };
  for (const field of fields)
    field.addEventListener('change', () => {
      const time = timeOf(field);
      if (field.value !== '' && time.value === '') time.value = clock(new Date());
      update();
    });
  within<HTMLElement>('.way').addEventListener('input', update);
  within<HTMLButtonElement>('.log button').addEventListener('click', () => {
    lines.select();
    // Where the browser keeps the clipboard shut, the lines stand selected.
    void navigator.clipboard?.writeText(lines.value).catch(() => undefined);
  });
  return (value, note) => {
    [reading, readingNote] = [value, note];
    update();
  };
}
