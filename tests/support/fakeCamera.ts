/**
 * What a phone's camera would show: a picture held before it by hand, as a film that
 * Chromium plays to the page in place of a camera. Made by Debian's poppler and ffmpeg.
 */
import { execFileSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { Browser } from 'playwright-core';
import { launch } from './browser.ts';

const there = (command: string): boolean => {
  try {
    execFileSync('which', [command], { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
};
const missing = ['ffmpeg', 'pdftoppm'].filter((command) => !there(command));

/** Why the films cannot be made here; undefined where they can. */
export const noFilm: string | undefined =
  missing.length === 0 ? undefined : `${missing.join(' and ')} not installed`;

/** Turned by a hand that is not quite steady, in light that is not quite good. */
const BY_HAND = [
  "rotate='(6+2*sin(t*3))*PI/180':fillcolor=0xb8b0a4",
  'eq=brightness=-0.12:contrast=0.75',
  'gblur=sigma=0.8',
  'noise=alls=22:allf=t+u',
].join(',');

/** A browser whose camera sees this picture (PNG, 1280 × 720). */
async function seeing(folder: string, png: string): Promise<Browser> {
  const film = path.join(folder, 'film.mjpeg');
  execFileSync(
    'ffmpeg',
    ['-y', '-loop', '1', '-i', png, '-t', '1', '-r', '10', '-vf', BY_HAND].concat([
      '-pix_fmt',
      'yuvj420p',
      '-c:v',
      'mjpeg',
      '-q:v',
      '4',
      film,
    ]),
    { stdio: 'ignore' },
  );
  return launch([
    '--use-fake-device-for-media-stream',
    '--use-fake-ui-for-media-stream',
    `--use-file-for-fake-video-capture=${film}`,
  ]);
}

const folderOf = (): string => fs.mkdtempSync(path.join(os.tmpdir(), 'castbook-film-'));

/** The upper part of a printed page, held a hand's breadth away. */
export async function seeingPaper(pdf: Buffer): Promise<Browser> {
  const folder = folderOf();
  const file = path.join(folder, 'paper.pdf');
  fs.writeFileSync(file, pdf);
  const page = path.join(folder, 'page');
  // 150 dots an inch: A4 is 1240 wide, nearly the picture's width.
  execFileSync('pdftoppm', ['-r', '150', '-f', '1', '-l', '1', '-png', '-singlefile', file, page]);
  return seeingPicture(`${page}.png`, folder);
}

/** Any picture, laid at the upper edge of what the camera sees. */
export function seeingPicture(png: string, folder = folderOf()): Promise<Browser> {
  const seen = path.join(folder, 'seen.png');
  execFileSync(
    'ffmpeg',
    [
      '-y',
      '-i',
      png,
      '-vf',
      'pad=w=max(iw\\,1280):h=max(ih\\,720):color=0xe8e4dc,crop=1280:720:0:0',
      seen,
    ],
    { stdio: 'ignore' },
  );
  return seeing(folder, seen);
}
