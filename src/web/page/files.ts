import { tabSeparated } from './tab-separated.ts';

/** Buttons that give the tables packed in the page: `data-download` and `data-copy` name the element that holds one. */
export function startFiles(): void {
  const answer = (attribute: string, act: (packed: HTMLElement) => Promise<string>) => {
    for (const button of document.querySelectorAll<HTMLButtonElement>(`button[${attribute}]`)) {
      button.addEventListener('click', async () => {
        const packed = document.getElementById(button.getAttribute(attribute) ?? '');
        const status = button.parentElement?.querySelector('[role=status]');
        if (!packed) return;
        button.disabled = true;
        const said = await act(packed).catch((error: unknown) => `Not possible here: ${(error as Error).message}`);
        if (status) status.textContent = said;
        button.disabled = false;
        button.focus();
      });
    }
  };
  answer('data-download', async (packed) => {
    saveAs(packed.dataset.name ?? 'table.csv', await unpacked(packed));
    return 'Saved.';
  });
  answer('data-copy', async (packed) => {
    await copy(tabSeparated(await (await unpacked(packed)).text()));
    return 'Copied.';
  });
}

/** The file that an element holds as base64 of gzip. */
async function unpacked(packed: HTMLElement): Promise<Blob> {
  const bytes = Uint8Array.from(atob((packed.textContent ?? '').trim()), (character) => character.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip'));
  const blob = await new Response(stream).blob();
  return new Blob([blob], { type: 'text/csv' });
}

/** Hands a file to the reader, made here: nothing is fetched. */
export function saveAs(name: string, blob: Blob): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(blob);
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  // The browser reads the file after the click; a minute is enough for any of ours.
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

async function copy(text: string): Promise<void> {
  try {
    await navigator.clipboard.writeText(text);
  } catch {
    // Pages opened from a disk may have no clipboard of their own.
    const area = document.createElement('textarea');
    area.value = text;
    area.setAttribute('aria-hidden', 'true');
    area.style.cssText = 'position:fixed;top:0;left:0;opacity:0';
    document.body.append(area);
    area.select();
    const copied = document.execCommand('copy');
    area.remove();
    if (!copied) throw new Error('the browser does not let this page copy');
  }
}
