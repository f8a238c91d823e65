/** Puts the set-up's English texts where the others are, before a page of it is drawn. */
import { en } from '../words/en.ts';
import { admin } from '../words/en/admin.ts';

Object.assign(en.admin, admin);
