import { describe, expect, it } from 'vitest';
import { classPalette, contrast, INK, INK_SOFT, PAPER } from '../../src/chart/palette.js';

const SIZES = [2, 3, 4, 5, 6, 7, 8, 9];

/*
 * Dichromat simulation in linear RGB at severity 1.0: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A Physiologically-based
 * Model for Simulation of Color Vision Deficiency", IEEE Transactions on Visualization and Computer Graphics 15(6), 2009, the
 * authors' published tables.
 */
const VISIONS: Readonly<Record<string, readonly (readonly number[])[]>> = {
  full: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
  protanopia: [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  deuteranopia: [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
};

function linearOf(hex: string): number[] {
  return [1, 3, 5].map((at) => {
    const c = parseInt(hex.slice(at, at + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  });
}

/** CIELAB (D65) of linear sRGB: IEC 61966-2-1 primaries, CIE 15 functions. */
function labOf([r, g, b]: readonly number[]): number[] {
  const f = (t: number) => (t > 216 / 24389 ? Math.cbrt(t) : ((24389 / 27) * t + 16) / 116);
  const x = f((0.4124564 * r! + 0.3575761 * g! + 0.1804375 * b!) / 0.95047);
  const y = f(0.2126729 * r! + 0.7151522 * g! + 0.072175 * b!);
  const z = f((0.0193339 * r! + 0.119192 * g! + 0.9503041 * b!) / 1.08883);
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

function seenAs(hex: string, vision: string): number[] {
  const rgb = linearOf(hex);
  return labOf(
    VISIONS[vision]!.map((row) =>
      Math.min(
        1,
        Math.max(
          0,
          row.reduce((sum, m, i) => sum + m * rgb[i]!, 0),
        ),
      ),
    ),
  );
}

function distance(one: readonly number[], other: readonly number[]): number {
  return Math.hypot(...one.map((value, i) => value - other[i]!));
}

describe('classPalette', () => {
  it.each(SIZES)('falls in lightness from dry to flood, evenly enough to read %i classes in grey', (classes) => {
    const lightness = classPalette(classes).map((look) => seenAs(look.fill, 'full')[0]!);
    const steps = lightness.slice(1).map((value, i) => lightness[i]! - value);
    // The scale is even in OKLab lightness: no step may be under two thirds of an even share of the whole fall in CIE L*.
    const share = (lightness[0]! - lightness[classes - 1]!) / (classes - 1);
    expect(Math.min(...steps)).toBeGreaterThan(0.66 * share);
    expect(lightness[0]! - lightness[classes - 1]!).toBeGreaterThan(70);
  });

  it.each(SIZES.flatMap((classes) => Object.keys(VISIONS).map((vision) => [classes, vision] as const)))(
    'keeps all pairs of %i classes apart for %s',
    (classes, vision) => {
      const seen = classPalette(classes).map((look) => seenAs(look.fill, vision));
      const distances = seen.flatMap((one, i) => seen.slice(i + 1).map((other) => distance(one, other)));
      // CIE 1976: about 2.3 is a just noticeable difference (Mahy, Van Eycken and Oosterlinck 1994); four of them for nine classes.
      expect(Math.min(...distances)).toBeGreaterThan(classes <= 5 ? 18 : 9);
    },
  );

  it.each(SIZES)('writes on each of %i fills with a contrast of at least 4.5', (classes) => {
    for (const look of classPalette(classes)) expect(contrast(look.fill, look.ink)).toBeGreaterThanOrEqual(4.5);
  });

  it.each(SIZES)('gives each of %i classes a pattern and a symbol of its own', (classes) => {
    const looks = classPalette(classes);
    const patterns = looks.map(({ pattern }) => `${pattern.shape} ${pattern.solidity}`);
    expect(new Set(patterns).size).toBe(classes);
    expect(new Set(looks.map(({ symbol }) => symbol.plotly)).size).toBe(classes);
    expect(new Set(looks.map(({ symbol }) => symbol.points)).size).toBe(classes);
    // Neighbours touch in the bands: they must differ in shape, not only in how dense the shape is.
    for (let k = 1; k < classes; k++) expect(looks[k]!.pattern.shape).not.toBe(looks[k - 1]!.pattern.shape);
  });

  it.each(SIZES)('draws patterns that show on each of %i fills without colour', (classes) => {
    for (const { fill, mark } of classPalette(classes)) expect(contrast(fill, mark)).toBeGreaterThan(1.7);
  });

  it('has no traffic light: no saturated red, amber or green', () => {
    for (const { fill } of classPalette(9)) {
      const [r, g, b] = [1, 3, 5].map((at) => parseInt(fill.slice(at, at + 2), 16)) as [number, number, number];
      const high = Math.max(r, g, b);
      const saturation = (high - Math.min(r, g, b)) / high;
      if (saturation > 0.35) expect(high, fill).toBe(b);
    }
  });

  it('keeps the ends whatever the number of classes', () => {
    expect(classPalette(2).map((look) => look.fill)).toEqual([classPalette(9)[0]!.fill, classPalette(9)[8]!.fill]);
    expect(classPalette(3).map((look) => look.symbol.plotly)).toEqual(['triangle-down', 'circle', 'triangle-up']);
  });

  it('goes on beyond nine classes with colours that still fall in lightness', () => {
    const lightness = classPalette(12).map((look) => seenAs(look.fill, 'full')[0]!);
    for (let k = 1; k < 12; k++) expect(lightness[k]!).toBeLessThan(lightness[k - 1]!);
  });

  it('takes a single class and refuses what is no number of classes', () => {
    expect(classPalette(1)).toHaveLength(1);
    for (const wrong of [0, -1, 2.5, NaN, Infinity])
      expect(() => classPalette(wrong)).toThrow(
        new RangeError(`classPalette: classes must be a whole number of at least 1, got ${wrong}`),
      );
  });

  it('is frozen', () => {
    expect(Object.isFrozen(classPalette(5))).toBe(true);
    expect(Object.isFrozen(classPalette(5)[2])).toBe(true);
  });
});

describe('contrast', () => {
  it('is 21 for black on white and 1 for a colour on itself', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 10);
    expect(contrast('#5395b6', '#5395b6')).toBe(1);
  });
  it('holds for the two inks on paper', () => {
    expect(contrast(INK, PAPER)).toBeGreaterThan(12);
    expect(contrast(INK_SOFT, PAPER)).toBeGreaterThanOrEqual(4.5);
  });
});
