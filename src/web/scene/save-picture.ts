/** Canvas pixels to a CSS pixel of the saved picture. */
export const PICTURE_RATIO = 2;
const CAPTION_PX = 58;

/**
 * The picture with its caption below as a PNG, saved under `name` by the browser's own download.
 *
 * @param draw draws the picture, `width` × `height` CSS px, into a context already scaled
 * @returns false where the browser gives no picture
 */
export async function savePicture(
  name: string,
  width: number,
  height: number,
  draw: (context: CanvasRenderingContext2D) => void,
  caption: { title: string; line: string; ink: string; quiet: string; ground: string },
): Promise<boolean> {
  const canvas = document.createElement('canvas');
  canvas.width = Math.round(width * PICTURE_RATIO);
  canvas.height = Math.round((height + CAPTION_PX) * PICTURE_RATIO);
  const context = canvas.getContext('2d');
  if (!context) return false;
  context.scale(PICTURE_RATIO, PICTURE_RATIO);
  context.fillStyle = caption.ground;
  context.fillRect(0, 0, width, height + CAPTION_PX);
  context.save();
  draw(context);
  context.restore();
  context.fillStyle = caption.ground;
  context.fillRect(0, height, width, CAPTION_PX);
  const family = 'system-ui, -apple-system, "Segoe UI", "DejaVu Sans", sans-serif';
  context.textBaseline = 'alphabetic';
  context.fillStyle = caption.ink;
  context.font = `600 15px ${family}`;
  context.fillText(caption.title, 12, height + 24, width - 24);
  context.fillStyle = caption.quiet;
  context.font = `13px ${family}`;
  context.fillText(caption.line, 12, height + 44, width - 24);
  const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, 'image/png'));
  if (!blob) return false;
  const address = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  // The download has its own hold on the data by then.
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
  return true;
}
