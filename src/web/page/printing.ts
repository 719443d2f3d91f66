/** Print buttons: the chosen view, or all of them. What is folded and marked `data-print` is opened on paper. */
export function startPrinting(): void {
  const page = document.documentElement;
  const opened: HTMLDetailsElement[] = [];
  addEventListener('beforeprint', () => {
    for (const fold of document.querySelectorAll<HTMLDetailsElement>('details[data-print]:not([open])')) {
      fold.open = true;
      opened.push(fold);
    }
  });
  addEventListener('afterprint', () => {
    page.classList.remove('print-all');
    for (const fold of opened.splice(0)) fold.open = false;
  });
  for (const button of document.querySelectorAll<HTMLElement>('[data-print-views]')) {
    button.addEventListener('click', () => {
      page.classList.toggle('print-all', button.dataset.printViews === 'all');
      print();
    });
  }
}
