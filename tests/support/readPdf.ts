/** The text of a PDF, read by a library that did not write it. */
import { getDocument, type PDFDocumentProxy } from 'pdfjs-dist/legacy/build/pdf.mjs';

/** The words of each page, with single blanks between them. */
export async function pdfPages(bytes: Uint8Array): Promise<string[]> {
  const task = getDocument({ data: new Uint8Array(bytes), verbosity: 0 });
  const pdf: PDFDocumentProxy = await task.promise;
  const pages: string[] = [];
  for (let n = 1; n <= pdf.numPages; n += 1) {
    const { items } = await (await pdf.getPage(n)).getTextContent();
    const words = items.map((item) => ('str' in item ? item.str : ''));
    pages.push(words.join(' ').replaceAll(/\s+/g, ' '));
  }
  await task.destroy();
  return pages;
}
