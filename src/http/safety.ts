/**
 * The headers that keep a browser from doing more with an answer than it should. They stand on
 * every answer alike: pages, files, refusals, and what is said on a socket that sent no request.
 */
import type { IncomingMessage, ServerResponse } from 'node:http';
import helmet from 'helmet';

/** Content of our own only; the API's pages need no more. Plain http is not upgraded: a proxy does TLS. */
export const CONTENT_SECURITY = {
  'default-src': ["'none'"],
  'script-src': ["'self'"],
  // The client's own, which opens the bench without a network.
  'worker-src': ["'self'"],
  'style-src': ["'self'"],
  'img-src': ["'self'", 'data:'],
  'connect-src': ["'self'"],
  'font-src': ["'self'"],
  'base-uri': ["'none'"],
  'form-action': ["'none'"],
  'frame-ancestors': ["'none'"],
};

/** Of papers, drawings and pictures: whatever they hold, nothing of it runs, and it is nobody's origin. */
export const DOCUMENT_SECURITY = "default-src 'none'; frame-ancestors 'none'; sandbox";

/** The scanner needs the camera; nothing else of the device is asked for. Names from the W3C's list of policy-controlled features. */
const PERMISSIONS_POLICY = [
  'camera=(self)',
  ...[
    'accelerometer',
    'bluetooth',
    'browsing-topics',
    'display-capture',
    'geolocation',
    'gyroscope',
    'hid',
    'idle-detection',
    'local-fonts',
    'magnetometer',
    'microphone',
    'midi',
    'payment',
    'serial',
    'usb',
    'xr-spatial-tracking',
  ].map((feature) => `${feature}=()`),
].join(', ');

/** A year, of this host and those under it (OWASP ASVS 5, 3.4.1, from memory). */
const STRICT_TRANSPORT = { maxAge: 31_536_000, includeSubDomains: true };

/** @param publicUrl where people reach the service: over https browsers are told to stay there */
export function safetyHeaders(publicUrl: string): Readonly<Record<string, string>> {
  const said: Record<string, string> = { 'permissions-policy': PERMISSIONS_POLICY };
  const response = {
    setHeader: (name: string, value: string) => {
      said[name.toLowerCase()] = value;
    },
    removeHeader: () => undefined,
  };
  const headers = helmet({
    contentSecurityPolicy: { useDefaults: false, directives: CONTENT_SECURITY },
    referrerPolicy: { policy: 'no-referrer' },
    xFrameOptions: { action: 'deny' },
    strictTransportSecurity: publicUrl.startsWith('https:') ? STRICT_TRANSPORT : false,
  });
  // It only sets headers, at once: the table is the library's own, for answers that pass no hook too.
  // eslint-disable-next-line @typescript-eslint/no-unsafe-class-instance-assignment -- it looks at no request
  headers({} as IncomingMessage, response as unknown as ServerResponse, () => undefined);
  return said;
}
