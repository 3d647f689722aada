import { z } from 'zod';
import { creekSchema } from './creekSchema.js';

/**
 * The JSON Schema (draft 2020-12) of creek.json as the text of schema/creek.schema.json, made from the schema that reads it. It holds the
 * shapes, so an editor can complete and underline; what needs several places of the file at once (unique ids, orders, names that must
 * exist) only the reader checks. Keys that begin with `//` are allowed everywhere, as comments.
 */
export function creekJsonSchema(): string {
  const schema = z.toJSONSchema(creekSchema, {
    io: 'input',
    override: ({ jsonSchema }) => {
      if (jsonSchema.additionalProperties === false) jsonSchema.patternProperties = { '^//': {} };
    },
  });
  const titled = { $schema: schema.$schema, title: 'creek.json of a sightstage creek folder', ...schema };
  return `${JSON.stringify(titled, null, 2)}\n`;
}
