import { readFileSync } from 'node:fs';
import tseslint from 'typescript-eslint';

/** The rooms of src/ and the one way between them; tests/rooms.test.ts holds the same file against every import. */
const rooms = JSON.parse(readFileSync(new URL('./rooms.json', import.meta.url), 'utf8'));

/** For each room: the rooms it must not import from, and the packages that belong at the rim. */
const doors = [...rooms.order, ...Object.keys(rooms.roots)].map((room) => {
  const allowed = [
    room,
    ...rooms.order.slice(0, Math.max(0, rooms.order.indexOf(room))),
    ...Object.keys(rooms.roots).filter((root) => rooms.roots[root].includes(room)),
  ];
  const walled = [...rooms.order, ...Object.keys(rooms.roots)].filter((other) => !allowed.includes(other));
  const rim = room === 'show' ? [] : rooms.onlyInShow.map((name) => (name.endsWith(':') ? `${name}*` : name));
  const spared = (rooms.exceptions[room] ?? []).map((name) => `!${name}`);
  return {
    files: [`src/${room}/**`],
    rules: {
      'no-restricted-imports': [
        'error',
        {
          patterns: [
            ...walled.map((other) => ({
              group: [`**/${other}/**`],
              message: `${room}/ must not import from ${other}/.`,
            })),
            ...(rim.length > 0
              ? [{ group: [...rim, ...spared], message: `Only show/ touches files, HTML and the terminal.` }]
              : []),
          ],
        },
      ],
    },
  };
});

export default tseslint.config(
  { ignores: ['dist/', 'out/', 'node_modules/', 'schema/'] },
  ...tseslint.configs.strict,
  {
    rules: {
      '@typescript-eslint/no-non-null-assertion': 'off',
      '@typescript-eslint/unified-signatures': 'off',
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_', varsIgnorePattern: '^_' }],
      eqeqeq: 'error',
      'no-console': 'error',
    },
  },
  ...doors,
  {
    files: ['src/**'],
    ignores: ['src/series/format.ts'],
    rules: {
      'no-restricted-syntax': [
        'error',
        {
          selector: 'CallExpression[callee.property.name=/^(toFixed|toPrecision|toLocaleString|toLocaleDateString)$/]',
          message: 'Numbers are written for people, and rounded for data, in series/format.ts only.',
        },
        {
          selector: "MemberExpression[object.name='Intl'][property.name='NumberFormat']",
          message: 'series/format.ts writes numbers.',
        },
      ],
    },
  },
  { files: ['src/show/cli/**', 'tools/**', 'bench/**', 'data-sample/**'], rules: { 'no-console': 'off' } },
);
