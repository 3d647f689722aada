import tseslint from 'typescript-eslint';

/** Which rooms a file of each room may import from. kernel/ and series/ are roots: they import nothing of ours. */
const doors = {
  series: [],
  kernel: [],
  read: ['series'],
  align: ['series', 'kernel', 'read'],
  fit: ['series', 'kernel', 'align'],
  judge: ['series', 'kernel', 'align', 'fit'],
  chart: ['series', 'align', 'fit', 'judge'],
};

export default tseslint.config(
  { ignores: ['dist/', 'out/', 'node_modules/', 'schema/'] },
  ...tseslint.configs.strict,
  {
    rules: {
      '@typescript-eslint/no-non-null-assertion': 'off',
      '@typescript-eslint/unified-signatures': 'off',
      eqeqeq: 'error',
      'no-console': 'error',
    },
  },
  { files: ['src/show/cli/**', 'tools/**', 'bench/**', 'data-sample/**'], rules: { 'no-console': 'off' } },
);
export { doors };
