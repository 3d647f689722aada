/** How one class looks wherever it is drawn: by colour, by pattern and by symbol, so that any one of the three is enough. */
export interface ClassLook {
  /** Fill, `#rrggbb`. Lightness falls strictly from the driest class to the flood. */
  readonly fill: string;
  /** Text on `fill`: contrast of at least 4.5 (WCAG 2.2, success criterion 1.4.3). */
  readonly ink: string;
  /** Lines of the pattern on `fill`: visible in greyscale too. */
  readonly mark: string;
  readonly pattern: ClassPattern;
  readonly symbol: ClassSymbol;
}

/** A fill pattern in plotly's words; `size` in px, `solidity` 0 to 1. */
export interface ClassPattern {
  readonly shape: '' | '.' | '/' | '|' | '-' | '\\' | '+' | 'x';
  readonly size: number;
  readonly solidity: number;
}

/** A marker: plotly's name for it, and the same outline as points of an SVG polygon in a box of -10 … 10. */
export interface ClassSymbol {
  readonly plotly: string;
  readonly points: string;
}

/** Text and lines on paper. */
export const INK = '#18222c';
/** Second voice: still 4.5 or more on paper. */
export const INK_SOFT = '#52606b';
export const PAPER = '#ffffff';
export const RULE = '#c9d0d4';
/** The one accent of the page and the figures: not a class colour. */
export const ACCENT = '#8a3b12';
/** Bars of what belongs to no class: posteriors, correlations. */
export const BAR = '#7b8a94';
/** Behind a label or in a ring: paper that lets what lies below show a little. */
export const VEIL = 'rgba(255,255,255,0.85)';
/** Intervals around a curve: INK_SOFT let through, the narrower interval darker. */
export const BANDS = Object.freeze({ dark: 'rgba(82,96,107,0.38)', light: 'rgba(82,96,107,0.18)' });
/** The interval of what is drawn in the accent. */
export const ACCENT_BAND = 'rgba(138,59,18,0.16)';
/** From paper to ink, evenly: probability in cells. */
export const GREYS: readonly string[] = Object.freeze(['#ffffff', '#d5dbdf', '#a3afb7', '#5d6d79', INK]);
/** What nobody has seen: grey hatching on almost-paper. */
export const UNSEEN = Object.freeze({ line: '#9aa4ab', ground: '#f4f5f5' });

/**
 * Anchors of the scale as [L, a, b] of OKLab: dry sand, shallow water over stones, open water, deep water, the dark of a
 * flood. Hue moves from yellow to blue, the axis that the common colour deficiencies keep, and lightness falls evenly.
 */
const ANCHORS: readonly (readonly [number, number, number])[] = [
  [0.93, 0.004, 0.062],
  [0.79, -0.042, 0.004],
  [0.64, -0.052, -0.066],
  [0.47, -0.004, -0.124],
  [0.3, 0.052, -0.086],
];

const PATTERNS: readonly ClassPattern[] = [
  { shape: '', size: 8, solidity: 0 },
  { shape: '.', size: 7, solidity: 0.16 },
  { shape: '/', size: 9, solidity: 0.12 },
  { shape: '|', size: 8, solidity: 0.16 },
  { shape: '-', size: 8, solidity: 0.16 },
  { shape: '.', size: 8, solidity: 0.4 },
  { shape: '\\', size: 7, solidity: 0.2 },
  { shape: '+', size: 9, solidity: 0.2 },
  { shape: 'x', size: 7, solidity: 0.26 },
];

const SYMBOLS: readonly ClassSymbol[] = [
  { plotly: 'triangle-down', points: '-10,-8 10,-8 0,9' },
  { plotly: 'triangle-left', points: '8,-10 8,10 -9,0' },
  { plotly: 'square', points: '-8,-8 8,-8 8,8 -8,8' },
  { plotly: 'pentagon', points: '0,-10 9.5,-3.1 5.9,8.1 -5.9,8.1 -9.5,-3.1' },
  { plotly: 'circle', points: '9,0 6.4,6.4 0,9 -6.4,6.4 -9,0 -6.4,-6.4 0,-9 6.4,-6.4' },
  { plotly: 'cross', points: '-3,-9 3,-9 3,-3 9,-3 9,3 3,3 3,9 -3,9 -3,3 -9,3 -9,-3 -3,-3' },
  { plotly: 'diamond', points: '0,-10.5 10.5,0 0,10.5 -10.5,0' },
  { plotly: 'triangle-right', points: '-8,-10 -8,10 9,0' },
  { plotly: 'triangle-up', points: '-10,8 10,8 0,-9' },
];

/** Which of the nine a scale of K classes uses: the ends always, then what looks least like its neighbours. */
const CHOSEN: readonly (readonly number[])[] = [
  [4],
  [0, 8],
  [0, 4, 8],
  [0, 2, 6, 8],
  [0, 2, 4, 6, 8],
  [0, 2, 3, 4, 6, 8],
  [0, 1, 2, 4, 6, 7, 8],
  [0, 1, 2, 3, 4, 6, 7, 8],
  [0, 1, 2, 3, 4, 5, 6, 7, 8],
];

/**
 * The looks of K ordered classes, from dry to flood. Colours are evenly spaced on one scale; patterns and symbols are all
 * different up to nine classes and repeat beyond.
 *
 * @param classes how many classes, 1 or more.
 * @throws RangeError when `classes` is not a whole number of at least 1.
 * @example classPalette(3).map((look) => look.symbol.plotly) // ['triangle-down', 'circle', 'triangle-up']
 */
export function classPalette(classes: number): readonly ClassLook[] {
  if (!(Number.isInteger(classes) && classes >= 1))
    throw new RangeError(`classPalette: classes must be a whole number of at least 1, got ${classes}`);
  return Object.freeze(
    Array.from({ length: classes }, (_, k) => {
      const share = classes === 1 ? 0.5 : k / (classes - 1);
      const which = classes <= 9 ? CHOSEN[classes - 1]![k]! : k % 9;
      const lab = scaleAt(share);
      const fill = hexOfOklab(lab);
      return Object.freeze({
        fill,
        ink: inkOn(fill),
        mark: hexOfOklab([lab[0] + (lab[0] > 0.55 ? -0.2 : 0.24), lab[1] * 0.8, lab[2] * 0.8]),
        pattern: PATTERNS[which]!,
        symbol: SYMBOLS[which]!,
      });
    }),
  );
}

/**
 * Dark or light, whichever is readable; full black where a middle tone leaves neither enough. Not INK or PAPER, which a dark page turns.
 */
function inkOn(fill: string): string {
  return ['#17212b', '#fefefe'].find((ink) => contrast(fill, ink) >= 4.5) ?? '#000000';
}

/** The scale at `share` 0 (driest) to 1 (flood), OKLab. */
function scaleAt(share: number): readonly [number, number, number] {
  const place = share * (ANCHORS.length - 1);
  const i = Math.min(ANCHORS.length - 2, Math.floor(place));
  const t = place - i;
  const [from, to] = [ANCHORS[i]!, ANCHORS[i + 1]!];
  return [from[0] + t * (to[0] - from[0]), from[1] + t * (to[1] - from[1]), from[2] + t * (to[2] - from[2])];
}

/** OKLab to sRGB, clipped to the gamut. Source of the matrices: B. Ottosson, "A perceptual color space for image processing", 2020. */
function hexOfOklab([L, a, b]: readonly [number, number, number]): string {
  const l = (L + 0.3963377774 * a + 0.2158037573 * b) ** 3;
  const m = (L - 0.1055613458 * a - 0.0638541728 * b) ** 3;
  const s = (L - 0.0894841775 * a - 1.291485548 * b) ** 3;
  const linear = [
    4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
    -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
    -0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s,
  ];
  return `#${linear.map((c) => byteOf(c).toString(16).padStart(2, '0')).join('')}`;
}

/** Transfer curve of sRGB (IEC 61966-2-1). */
function byteOf(linear: number): number {
  const c = Math.min(1, Math.max(0, linear));
  return Math.round(255 * (c <= 0.0031308 ? 12.92 * c : 1.055 * c ** (1 / 2.4) - 0.055));
}

/** Contrast ratio of two colours, 1 to 21. Source: WCAG 2.2, definition of contrast ratio and relative luminance. */
export function contrast(one: string, other: string): number {
  const [low, high] = [luminance(one), luminance(other)].sort((p, q) => p - q) as [number, number];
  return (high + 0.05) / (low + 0.05);
}

function luminance(hex: string): number {
  const channel = (at: number) => {
    const c = parseInt(hex.slice(at, at + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  };
  return 0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5);
}
