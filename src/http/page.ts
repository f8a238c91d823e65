/** The few pages that the service itself shows: plain HTML, no style and no script of their own. */

/** @param turnsTo another page of the service, which the browser opens at once */
export const htmlPage = (title: string, body: string, turnsTo?: string): string =>
  `<!doctype html><html lang="en"><head><meta charset="utf-8">${turnsTo === undefined ? '' : `<meta http-equiv="refresh" content="0;url=${escapeHtml(turnsTo)}">`}<meta name="viewport" content="width=device-width"><title>${escapeHtml(title)} · Castbook</title></head><body><h1>${escapeHtml(title)}</h1>${body}</body></html>`;

export const escapeHtml = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;');
