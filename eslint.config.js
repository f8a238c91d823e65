import js from '@eslint/js';
import prettier from 'eslint-config-prettier';
import tseslint from 'typescript-eslint';

export default tseslint.config(
  {
    ignores: [
      'src/generated/',
      'coverage/',
      'reports/',
      '.stryker-tmp/',
      'data/',
      'node_modules/',
      'tests/output/',
      'dist/',
    ],
  },
  js.configs.recommended,
  ...tseslint.configs.strictTypeChecked,
  ...tseslint.configs.stylisticTypeChecked,
  {
    languageOptions: {
      parserOptions: {
        projectService: { allowDefaultProject: ['eslint.config.js', '.dependency-cruiser.cjs'] },
        tsconfigRootDir: import.meta.dirname,
      },
    },
    linterOptions: { reportUnusedDisableDirectives: 'error' },
    rules: {
      '@typescript-eslint/switch-exhaustiveness-check': [
        'error',
        { considerDefaultExhaustiveForUnions: true },
      ],
      // A refusal without facts says so by its type.
      '@typescript-eslint/no-generated-empty-object-type': 'off',
      '@typescript-eslint/consistent-type-imports': 'error',
      // Numbers stand in many messages; they print as they are meant to.
      '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true }],
      // z.object({...}) inferences and small readonly records are clearer as types.
      '@typescript-eslint/consistent-type-definitions': 'off',
      // Records of ours are object literals with closures; no method of theirs uses `this`.
      '@typescript-eslint/unbound-method': 'off',
      '@typescript-eslint/no-confusing-void-expression': ['error', { ignoreArrowShorthand: true }],
      // A leading underscore says: named for the reader, not used.
      '@typescript-eslint/no-unused-vars': [
        'error',
        { argsIgnorePattern: '^_', varsIgnorePattern: '^_', destructuredArrayIgnorePattern: '^_' },
      ],
      // What is bound to a statement is said as PostgreSQL reads it.
      '@typescript-eslint/no-base-to-string': 'off',
      // Handlers and hooks are async by contract, also where they need not wait.
      '@typescript-eslint/require-await': 'off',
      'no-restricted-properties': [
        'error',
        {
          object: 'process',
          property: 'env',
          message: 'Only src/config.ts reads the environment; pass values.',
        },
      ],
    },
  },
  {
    // The domain knows no clock, no chance and no I/O.
    files: ['src/domain/**/*.ts'],
    rules: {
      'no-restricted-globals': [
        'error',
        'process',
        'fetch',
        'setTimeout',
        'setInterval',
        'console',
      ],
      'no-restricted-syntax': [
        'error',
        {
          selector: 'ThrowStatement > NewExpression[callee.name="Refused"]',
          message: 'The domain answers, it does not throw refusals.',
        },
        {
          selector: 'NewExpression[callee.name="Date"][arguments.length=0]',
          message: 'Time is passed in.',
        },
        {
          selector: 'CallExpression[callee.object.name="Date"][callee.property.name="now"]',
          message: 'Time is passed in.',
        },
        {
          selector: 'CallExpression[callee.object.name="Math"][callee.property.name="random"]',
          message: 'No chance in the domain.',
        },
      ],
    },
  },
  {
    // Services see the transaction only; the outer client would leave the clinic's scope and wait for ever.
    files: ['src/features/**/*.ts', 'src/access/**/*.ts'],
    rules: {
      'no-restricted-syntax': [
        'error',
        {
          selector: 'MemberExpression[property.name="prisma"]',
          message: 'Use the transaction that you were given (act.tx).',
        },
      ],
    },
  },
  {
    files: ['src/config.ts', 'scripts/**/*.{ts,mjs}', 'tests/**/*.ts', '*.config.ts'],
    rules: { 'no-restricted-properties': 'off' },
  },
  {
    files: ['tests/**/*.ts'],
    rules: {
      // A missing element fails the test by itself.
      '@typescript-eslint/no-non-null-assertion': 'off',
      // supertest bodies are any; the tests assert on them.
      '@typescript-eslint/no-unsafe-assignment': 'off',
      '@typescript-eslint/no-unsafe-member-access': 'off',
      '@typescript-eslint/no-unsafe-argument': 'off',
      '@typescript-eslint/no-unsafe-return': 'off',
      // Sample strings of the tests are ASCII, split by character on purpose.
      '@typescript-eslint/no-misused-spread': 'off',
      '@typescript-eslint/no-unnecessary-condition': 'off',
      '@typescript-eslint/no-deprecated': 'off',
      '@typescript-eslint/no-base-to-string': 'off',
      'no-loss-of-precision': 'off',
      '@typescript-eslint/no-unused-expressions': 'off',
    },
  },
  {
    files: ['**/*.js', '**/*.cjs', '**/*.mjs'],
    ...tseslint.configs.disableTypeChecked,
    languageOptions: {
      parserOptions: { projectService: false, program: null, project: false },
      globals: {
        process: 'readonly',
        console: 'readonly',
        fetch: 'readonly',
        module: 'writable',
        URL: 'readonly',
      },
    },
  },
  prettier,
);
