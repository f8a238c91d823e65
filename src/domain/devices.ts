/**
 * What kind of thing somebody signs in on, as far as its user agent says, in words coarse
 * enough to tell one's phone from the computer at the bench and no machine from its sisters.
 * A list of sign-ins is read by the person whose they are; more than that it need not know.
 * Which token stands for what in a user agent: from memory.
 */
export const DEVICE_KINDS = ['phone', 'tablet', 'computer', 'other'] as const;
export type DeviceKind = (typeof DEVICE_KINDS)[number];

/** What a user agent says nothing of. */
export const UNKNOWN_DEVICE = 'other';

/** The first that is found counts: what imitates another names it as well. */
const SYSTEMS: readonly (readonly [token: RegExp, name: string])[] = [
  [/\bAndroid\b/, 'Android'],
  [/\b(?:iPhone|iPad|iPod)\b/, 'iOS'],
  [/\bWindows\b/, 'Windows'],
  [/\bCrOS\b/, 'ChromeOS'],
  [/\bMac OS X\b/, 'macOS'],
  [/\bLinux\b/, 'Linux'],
];
const BROWSERS: readonly (readonly [token: RegExp, name: string])[] = [
  [/\bEdg(?:e|A|iOS)?\//, 'Edge'],
  [/\b(?:Firefox|FxiOS)\//, 'Firefox'],
  [/\b(?:OPR|Opera)\//, 'Opera'],
  [/\b(?:Chrome|CriOS|HeadlessChrome)\//, 'Chrome'],
  [/\bSafari\//, 'Safari'],
];

/**
 * @param userAgent the header as it came; undefined where there was none
 * @returns the kind, then system and browser where they are known, with spaces between: `phone Android Firefox`
 */
export function deviceOf(userAgent: string | undefined): string {
  if (userAgent === undefined) return UNKNOWN_DEVICE;
  const system = nameIn(SYSTEMS, userAgent);
  const browser = nameIn(BROWSERS, userAgent);
  return [kindOf(userAgent, system), system, browser]
    .filter((word) => word !== undefined)
    .join(' ');
}

const nameIn = (
  of: readonly (readonly [token: RegExp, name: string])[],
  userAgent: string,
): string | undefined => of.find(([token]) => token.test(userAgent))?.[1];

function kindOf(userAgent: string, system: string | undefined): DeviceKind {
  if (/\biPad\b/.test(userAgent)) return 'tablet';
  // Tablets with Android leave "Mobile" out.
  if (system === 'Android') return /\bMobile\b/.test(userAgent) ? 'phone' : 'tablet';
  if (system === 'iOS') return 'phone';
  return system === undefined ? 'other' : 'computer';
}

/** The kind of a device that `deviceOf` told, and the rest of it, which is names. */
export function deviceWords(device: string): { kind: DeviceKind; names: string } {
  const [kind, ...names] = device.split(' ');
  return { kind: DEVICE_KINDS.find((each) => each === kind) ?? 'other', names: names.join(', ') };
}
