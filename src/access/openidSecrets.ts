/**
 * What the service must be able to show a provider again (the client's secret, a code
 * verifier) and therefore cannot hash: AES-256-GCM, bound to the clinic and to what it is,
 * under a key derived from the service's own secret. This pair of functions is the only
 * place that knows how; a value's first letters say which way it was encrypted.
 */
import { createCipheriv, createDecipheriv, hkdfSync, randomBytes } from 'node:crypto';

const WAY = 'g1';
const IV_BYTES = 12;
const TAG_BYTES = 16;

export interface OpenIdSecrets {
  /** @param what what the text is, such as `client_secret`: it cannot be put in another's place */
  seal(clinicId: string, what: string, text: string): string;
  /** Undefined where it was sealed for something else, under another key, or changed. */
  open(clinicId: string, what: string, sealed: string): string | undefined;
}

/** @param secret of the service, at least 256 random bits */
export function openIdSecrets(secret: string): OpenIdSecrets {
  const key = Buffer.from(hkdfSync('sha256', secret, '', 'castbook openid secrets', 32));
  const bound = (clinicId: string, what: string) => Buffer.from(`${clinicId} ${what}`, 'utf8');
  return {
    seal: (clinicId, what, text) => {
      const iv = randomBytes(IV_BYTES);
      const cipher = createCipheriv('aes-256-gcm', key, iv).setAAD(bound(clinicId, what));
      const hidden = Buffer.concat([cipher.update(text, 'utf8'), cipher.final()]);
      const all = Buffer.concat([iv, cipher.getAuthTag(), hidden]);
      return `${WAY}.${all.toString('base64url')}`;
    },
    open: (clinicId, what, sealed) => {
      const [way, text = ''] = sealed.split('.');
      const all = Buffer.from(text, 'base64url');
      if (way !== WAY || all.length < IV_BYTES + TAG_BYTES) return undefined;
      const iv = all.subarray(0, IV_BYTES);
      const decipher = createDecipheriv('aes-256-gcm', key, iv, { authTagLength: TAG_BYTES })
        .setAAD(bound(clinicId, what))
        .setAuthTag(all.subarray(IV_BYTES, IV_BYTES + TAG_BYTES));
      try {
        return (
          decipher.update(all.subarray(IV_BYTES + TAG_BYTES), undefined, 'utf8') +
          decipher.final('utf8')
        );
      } catch {
        return undefined;
      }
    },
  };
}
