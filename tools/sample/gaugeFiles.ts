import {
  HOUR,
  localMoment,
  localOffset,
  localParts,
  RECORD_END,
  RECORD_START,
  STANDARD_OFFSET,
  STEP,
  WORLD_START,
} from './clock.js';
import { GAUGES } from './place.js';
import { randomStream } from './random.js';
import type { SampleVisit } from './visits.js';
import type { World } from './world.js';
import { flowAt } from './world.js';

/** What an office published: numbers in its own unit, evenly spaced from the start of the record; NaN where it gives none that may be used. */
export interface Published {
  readonly id: 'larger' | 'flashy' | 'regulated' | 'without-brook';
  readonly stepHours: number;
  readonly values: Float64Array;
  /** Reading at which the flow is zero. */
  readonly zero: number;
  readonly files: readonly { readonly name: string; readonly text: string }[];
}

export const M3_PER_FT3 = 0.3048 ** 3;
/** From here on the record has not been reviewed. */
const PROVISIONAL_FROM = Date.UTC(2024, 7, 1, -STANDARD_OFFSET);

const ICE_DAYS = 9;
const HOURS = Math.round((RECORD_END - RECORD_START) / HOUR);

/** Three significant digits, at most two after the point, as offices round discharge. */
function rounded(value: number): number {
  const digits = Math.min(2, Math.max(0, 2 - Math.floor(Math.log10(value))));
  const step = 10 ** Math.floor(Math.log10(value) - 2);
  return digits > 0 ? Number(value.toFixed(digits)) : Math.round(value / step) * step;
}

/**
 * What a sensor makes of the true discharge: a jitter of 1 % that fades within hours, and a rating that wanders by some per cent over weeks as
 * gravel moves.
 */
function measured(flow: Float64Array, { seed, name }: { seed: number; name: string }): Float64Array {
  const random = randomStream(seed, `sensor ${name}`);
  let jitter = 0;
  let rating = 0;
  return Float64Array.from({ length: HOURS }, (_, i) => {
    jitter = 0.6 * jitter + 0.008 * random.normal();
    rating = 0.998 * rating + 0.05 * Math.sqrt(1 - 0.998 ** 2) * random.normal();
    return flowAt(flow, RECORD_START + i * HOUR) * Math.exp(jitter + rating);
  });
}

/** First hour of the coldest stretch of `days` of the second winter: the ice comes then. */
export function coldestHour(world: World, days: number): number {
  const length = days * 24;
  const from = (localMoment('2023-12-10T00:00') - RECORD_START) / HOUR;
  const to = (Date.UTC(2024, 2, 1) - RECORD_START) / HOUR - length;
  let best = { hour: from, sum: Infinity };
  for (let hour = from; hour <= to; hour += 24) {
    let total = 0;
    for (let i = 0; i < length; i++)
      total += world.temperature[Math.round((RECORD_START - WORLD_START + (hour + i) * HOUR) / STEP)]!;
    if (total < best.sum) best = { hour, sum: total };
  }
  return best.hour;
}

/** The flood in which the brook's gauge falls silent: the highest water that a party met in the autumn of 2023 with a time it was sure of. */
export function gapHours(visits: readonly SampleVisit[]): { readonly from: number; readonly to: number } {
  const autumn = visits.filter(
    (v) => v.trueTimeMs > Date.UTC(2023, 8, 15) && v.trueTimeMs < Date.UTC(2023, 11, 1) && v.timing === 'each look',
  );
  const highest = autumn.reduce((a, b) => (b.trueFlow > a.trueFlow ? b : a));
  const hour = Math.floor((highest.trueTimeMs - RECORD_START) / HOUR);
  return { from: hour - 8, to: hour + 2 };
}

function larger(world: World, seed: number): Published {
  const gauge = GAUGES[0];
  const ice = coldestHour(world, ICE_DAYS);
  const broken = ice + 24 * 200; // a day of a dead sensor the following summer
  const flow = measured(world.gauges.larger, { seed, name: gauge.id });
  const values = new Float64Array(HOURS);
  const lines = [
    '# Discharge as measured every hour. This river, its office and its numbers are invented.',
    '#',
    `# Site ${gauge.series.site}  ${gauge.name}`,
    '#    1042  00060  Discharge, cubic feet per second',
    '#',
    '# Codes in this file:',
    '#    A    Approved',
    '#    P    Provisional, may be revised',
    '#    Ice  Not given: the river was under ice',
    '#    Eqp  Not given: the sensor had failed',
    '#',
    'agency_cd\tsite_no\tdatetime\ttz_cd\t1042_00060\t1042_00060_cd',
    '5s\t15s\t20d\t6s\t14n\t10s',
  ];
  for (let i = 0; i < HOURS; i++) {
    const t = RECORD_START + i * HOUR;
    const flag = i >= ice && i < ice + ICE_DAYS * 24 ? 'Ice' : i >= broken && i < broken + 20 ? 'Eqp' : undefined;
    values[i] = flag === undefined ? rounded(flow[i]! / M3_PER_FT3) : NaN;
    const zone = localOffset(t) === STANDARD_OFFSET ? 'MST' : 'MDT';
    const code = t >= PROVISIONAL_FROM ? 'P' : 'A';
    lines.push(
      `OWO\t${gauge.series.site}\t${localParts(t).text.replace('T', ' ')}\t${zone}\t${flag ?? values[i]}\t${code}`,
    );
  }
  return {
    id: 'larger',
    stepHours: 1,
    values,
    zero: 0,
    files: [{ name: gauge.files[0], text: lines.join('\n') + '\n' }],
  };
}

function flashy(world: World, { seed, visits }: { seed: number; visits: readonly SampleVisit[] }): Published {
  const gauge = GAUGES[1];
  const ice = coldestHour(world, ICE_DAYS) + 24; // the smaller water freezes from the banks: it starts a day later and ends two days earlier
  const gap = gapHours(visits);
  const flow = measured(world.gauges.flashy, { seed, name: gauge.id });
  const values = new Float64Array(HOURS);
  const lines = [
    `Station;${gauge.name}`,
    'Number;P-0417',
    'Operator;Water office of the Ommer valleys (invented)',
    'Quantity;Flow, value at the full hour',
    'Clock;UTC-7 all year, no daylight saving',
    'State;A approved, P provisional, I ice-affected, M missing',
    `${gauge.columns.time};${gauge.columns.value};${gauge.columns.quality}`,
  ];
  for (let i = 0; i < HOURS; i++) {
    values[i] = NaN;
    if (i >= gap.from && i < gap.to) continue; // the line was down: no rows at all
    const t = RECORD_START + i * HOUR;
    const iced = i >= ice && i < ice + (ICE_DAYS - 3) * 24;
    const lost = i % 2003 === 1201; // a message lost now and then
    if (!iced && !lost) values[i] = rounded(flow[i]!);
    // Ice dams the water up: a number is given, far too high, and marked.
    const shown = lost
      ? '---'
      : rounded(iced ? flow[i]! * 2.4 : flow[i]!)
          .toFixed(2)
          .replace('.', ',');
    const state = lost ? 'M' : iced ? 'I' : t >= PROVISIONAL_FROM ? 'P' : 'A';
    const p = localParts(t, STANDARD_OFFSET).text;
    lines.push(`${p.slice(8, 10)}.${p.slice(5, 7)}.${p.slice(0, 4)} ${p.slice(11)};${shown};${state}`);
  }
  return {
    id: 'flashy',
    stepHours: 1,
    values,
    zero: 0,
    files: [{ name: gauge.files[0], text: lines.join('\n') + '\n' }],
  };
}

/** Stage below the dam: zero flow at the concrete sill, then a power law of the release. Every third hour is published. */
function regulated(world: World, seed: number): Published {
  const gauge = GAUGES[2];
  const stepHours = 3;
  const flow = measured(world.gauges.regulated, { seed, name: gauge.id });
  const values = Float64Array.from(
    { length: HOURS / stepHours },
    (_, i) => Math.round(100 * (gauge.zeroFlowStage + 0.21 * flow[i * stepHours]! ** 0.58)) / 100,
  );
  const files = [2023, 2024].map((year, n) => {
    const points: string[] = [];
    for (let i = 0; i < values.length; i++) {
      const t = RECORD_START + i * stepHours * HOUR;
      const text = localParts(t, STANDARD_OFFSET).text;
      if (!text.startsWith(String(year))) continue;
      points.push(
        `<wml2:point><wml2:MeasurementTVP><wml2:time>${text}:00-07:00</wml2:time><wml2:value>${values[i]!.toFixed(2)}</wml2:value></wml2:MeasurementTVP></wml2:point>`,
      );
    }
    return { name: gauge.files[n]!, text: waterml2({ year, name: gauge.name, points }) };
  });
  return { id: 'regulated', stepHours, values, zero: gauge.zeroFlowStage, files };
}

function waterml2({ year, name, points }: { year: number; name: string; points: readonly string[] }): string {
  const quality = year === 2023 ? 'Approved' : 'Provisional';
  return `<?xml version="1.0" encoding="UTF-8"?>
<wml2:Collection gml:id="ostrell.${year}" xmlns:wml2="http://www.opengis.net/waterml/2.0" xmlns:gml="http://www.opengis.net/gml/3.2" xmlns:om="http://www.opengis.net/om/2.0" xmlns:swe="http://www.opengis.net/swe/2.0" xmlns:xlink="http://www.w3.org/1999/xlink">
<gml:name>${name} (invented river, invented numbers)</gml:name>
<wml2:observationMember><om:OM_Observation gml:id="ostrell.${year}.stage">
<om:observedProperty xlink:title="Stage"/>
<om:featureOfInterest xlink:title="${name}"/>
<om:result><wml2:MeasurementTimeseries gml:id="ostrell.${year}.series">
<wml2:defaultPointMetadata><wml2:DefaultTVPMeasurementMetadata>
<wml2:qualifier xlink:title="${quality}"><swe:Category><swe:value>${quality[0]}</swe:value></swe:Category></wml2:qualifier>
<wml2:uom code="m" xlink:title="m"/><wml2:interpolationType xlink:title="Continuous"/>
</wml2:DefaultTVPMeasurementMetadata></wml2:defaultPointMetadata>
${points.join('\n')}
</wml2:MeasurementTimeseries></om:result>
</om:OM_Observation></wml2:observationMember>
</wml2:Collection>
`;
}

/** All three records as published. */
export function publishGauges(
  world: World,
  { seed, visits }: { seed: number; visits: readonly SampleVisit[] },
): Published[] {
  return [larger(world, seed), flashy(world, { seed, visits }), regulated(world, seed)];
}
