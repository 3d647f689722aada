import { known } from '../series/knownIds.js';
import type { Creek, Feature, Run } from '../series/creek.js';
import type { Issue } from '../series/issue.js';
import { VERDICT, type Sighting } from '../series/visits.js';

/**
 * For each run with `verdictFrom` and no verdict of its own: every sighting of the named feature becomes the verdict it translates to. It
 * replaces the sighting, because a look counted twice would make the chart surer than it is. A numeric reading on an edge belongs to the
 * class above. A run that has verdicts keeps them and its feature's sightings as they are.
 */
export function translateVerdicts(
  sightings: readonly Sighting[],
  creek: Creek,
  file: string,
): { readonly sightings: readonly Sighting[]; readonly issues: readonly Issue[] } {
  const judged = new Set(sightings.filter((sighting) => sighting.feature === VERDICT).map((sighting) => sighting.run));
  const issues: Issue[] = [];
  const translations = new Map<string, { feature: Feature; classOf: (sighting: Sighting) => number }>();
  for (const run of creek.runs) {
    if (run.verdictFrom === undefined) continue;
    const featureId = run.verdictFrom.feature;
    const count = sightings.filter((sighting) => sighting.run === run.id && sighting.feature === featureId).length;
    const used = !judged.has(run.id);
    if (count > 0)
      issues.push({
        code: 'verdict-translated',
        severity: 'note',
        file,
        column: 'feature',
        found: used ? `no verdicts of run ${run.id}` : `verdicts of run ${run.id} and verdictFrom in creek.json`,
        expected: 'verdicts, or verdictFrom in their place',
        hint: used
          ? `Its classes are translated from feature ${featureId}, whose sightings count as verdicts.`
          : `The verdicts are used and nothing is translated from feature ${featureId}.`,
        count,
      });
    if (used) translations.set(run.id, translation(run));
  }
  return {
    issues,
    sightings: sightings.map((sighting) => {
      const translate = translations.get(sighting.run);
      if (translate === undefined || translate.feature.id !== sighting.feature) return sighting;
      return Object.freeze({ ...sighting, feature: VERDICT, classIndex: translate.classOf(sighting), value: NaN });
    }),
  };
}

function translation(run: Run): { feature: Feature; classOf: (sighting: Sighting) => number } {
  const from = run.verdictFrom!;
  const feature = known('feature', from.feature, { among: run.features, of: `run '${run.id}'` });
  if ('edges' in from)
    return { feature, classOf: (sighting) => from.edges.filter((edge) => sighting.value >= edge).length };
  const classes = (feature.classes ?? []).map((word) => run.classes.indexOf(from.classes[word] ?? ''));
  return { feature, classOf: (sighting) => classes[sighting.classIndex]! };
}
