import { startFiles } from './files.ts';
import { startPicture } from './picture.ts';
import { startPrinting } from './printing.ts';
import { startViews } from './views.ts';

/**
 * Makes the page of a lift answer: its views, its files, its picture, its print buttons. Without it everything stands on
 * the page, one view under the other; what only code can do is not shown (class `scripted-only`).
 */
export function startPage(): void {
  document.documentElement.classList.add('scripted');
  startViews();
  startFiles();
  startPicture();
  startPrinting();
}
