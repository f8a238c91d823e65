/** One way down: domain ← store ← access ← http ← features ← app. No circles, nothing imports upward. */
const only = (name, from, allowed, comment) => ({
  name,
  comment,
  severity: 'error',
  from: { path: `^src/${from}/` },
  to: { path: '^src/', pathNot: `^src/(${allowed})` },
});

module.exports = {
  forbidden: [
    { name: 'no-circles', severity: 'error', from: {}, to: { circular: true } },
    only(
      'domain-knows-only-itself',
      'domain',
      'domain/',
      'The rules know no database and no HTTP.',
    ),
    only(
      'store-stands-on-domain',
      'store',
      'store/|domain/|generated/',
      'SQL knows the rules, nothing above.',
    ),
    only('access-stands-on-store', 'access', 'access/|store/|domain/', 'People and signatures.'),
    only('documents-draw', 'documents', 'documents/|domain/', 'Record in, bytes out.'),
    only(
      'http-stands-on-access',
      'http',
      'http/|access/|store/|domain/',
      'Plumbing under the features.',
    ),
    only(
      'features-stand-on-http',
      'features',
      'features/|http/|documents/|access/|store/|domain/',
      'Nothing imports the app.',
    ),
    only(
      'web-knows-the-wire',
      'web',
      'web/|domain/|documents/figures/|generated/api',
      'The browser client speaks to the service by its document; rules and drawings are pure.',
    ),
    {
      name: 'nothing-imports-the-client',
      severity: 'error',
      from: { path: '^src/', pathNot: '^src/web/' },
      to: { path: '^src/web/' },
    },
    {
      name: 'only-the-store-knows-prisma',
      severity: 'error',
      from: { path: '^src/', pathNot: '^src/(store|generated)/' },
      to: { path: '^src/generated/prisma|node_modules/(@prisma|pg|@electric-sql)/' },
    },
    {
      name: 'domain-without-frameworks',
      severity: 'error',
      from: { path: '^src/domain/' },
      to: {
        dependencyTypes: ['npm', 'core'],
        pathNot: 'node_modules/(temporal-polyfill|canonicalize|fastest-levenshtein|pure-rand)/',
      },
    },
    {
      name: 'no-dev-package-in-the-service',
      severity: 'error',
      from: { path: '^src/', pathNot: '^src/generated/' },
      to: { dependencyTypes: ['npm-dev', 'npm-no-pkg', 'npm-unknown'] },
    },
    {
      name: 'nothing-unresolved',
      severity: 'error',
      from: {},
      // "?url" is Vite's: the address of a file, not a module.
      to: { couldNotResolve: true, pathNot: '\\?url$' },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules|^src/generated' },
    tsConfig: { fileName: 'tsconfig.json' },
    tsPreCompilationDeps: true,
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'node', 'types'],
    },
  },
};
