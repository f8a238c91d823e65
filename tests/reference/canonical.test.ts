import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { canonicalJson, type JsonValue } from '../../src/domain/canonical.ts';

const canonicalOf = (text: string): string => canonicalJson(JSON.parse(text) as JsonValue);

/**
 * The six test files of RFC 8785's author (repository cyberphone/json-canonicalization,
 * testdata/input and testdata/output), with the first eight and last three digits of
 * the SHA-256 of each published output.
 */
const FILES = [
  {
    file: 'arrays',
    input: '[56, {"d": true, "10": null, "1": [ ]}]',
    output: '[56,{"1":[],"10":null,"d":true}]',
    sha256: /^099601b1.*c42$/,
  },
  {
    file: 'french',
    input:
      '{"peach": "This sorting order", "péché": "is wrong according to French", "pêche": "but canonicalization MUST", "sin": "ignore locale"}',
    output:
      '{"peach":"This sorting order","péché":"is wrong according to French","pêche":"but canonicalization MUST","sin":"ignore locale"}',
    sha256: /^d99d0ebd.*ed5$/,
  },
  {
    file: 'structures',
    input:
      '{"1": {"f": {"f": "hi","F": 5} ,"\\n": 56.0}, "10": { }, "": "empty", "a": { }, "111": [ {"e": "yes","E": "no" } ], "A": { }}',
    output:
      '{"":"empty","1":{"\\n":56,"f":{"F":5,"f":"hi"}},"10":{},"111":[{"E":"no","e":"yes"}],"A":{},"a":{}}',
    sha256: /^605f6500.*5d5$/,
  },
  {
    file: 'unicode',
    input: '{"Unnormalized Unicode":"A\\u030a"}',
    output: '{"Unnormalized Unicode":"A\u030a"}',
    sha256: /^0d99aad9.*1d3$/,
  },
  {
    file: 'values',
    input:
      '{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001], "string": "\\u20ac$\\u000F\\u000aA\'\\u0042\\u0022\\u005c\\\\\\"\\/", "literals": [null, true, false]}',
    output:
      '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}',
    sha256: /^2d5e01a3.*acb$/,
  },
  {
    file: 'weird',
    input:
      '{"\\u20ac": "Euro Sign", "\\r": "Carriage Return", "\\u000a": "Newline", "1": "One", "\\u0080": "Control\\u007f", "\\ud83d\\ude02": "Smiley", "\\u00f6": "Latin Small Letter O With Diaeresis", "\\ufb33": "Hebrew Letter Dalet With Dagesh", "</script>": "Browser Challenge"}',
    output:
      '{"\\n":"Newline","\\r":"Carriage Return","1":"One","</script>":"Browser Challenge","\u0080":"Control\u007f","ö":"Latin Small Letter O With Diaeresis","€":"Euro Sign","😂":"Smiley","\ufb33":"Hebrew Letter Dalet With Dagesh"}',
    sha256: /^6af595a9.*4d1$/,
  },
] as const;

describe('canonical JSON as published in RFC 8785 (R11)', () => {
  it.each(FILES)('$file', ({ input, output, sha256 }) => {
    expect(canonicalOf(input)).toBe(output);
    expect(createHash('sha256').update(canonicalOf(input), 'utf8').digest('hex')).toMatch(sha256);
  });

  it('numbers (README of the same repository)', () => {
    expect(
      canonicalOf('{"numbers":[333333333.33333329,1E30,4.50,2e-3,0.000000000000000000000000001]}'),
    ).toBe('{"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27]}');
  });

  it('minus zero is written 0 (RFC 8785, Appendix B)', () => {
    expect(canonicalJson(-0)).toBe('0');
    expect(canonicalJson([-0, 0])).toBe('[0,0]');
  });

  it('keys stand in order of UTF-16 code units, not of code points (RFC 8785, 3.2.3)', () => {
    // U+1F602 is D83D DE02 in UTF-16: before U+FB33, after it by code point.
    expect(canonicalJson({ '\ufb33': 2, '\u{1f602}': 1 })).toBe('{"\u{1f602}":1,"\ufb33":2}');
  });
});
