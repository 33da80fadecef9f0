const PRESSED = ['checkbox', 'radio', 'range', 'button', 'color', 'file'];

/** Whether an event comes from where somebody writes: keys and pastes there belong to the text. */
export function writesText(event: Event): boolean {
  const target = event.composedPath()[0];
  return (
    target instanceof HTMLTextAreaElement ||
    (target instanceof HTMLInputElement && !PRESSED.includes(target.type))
  );
}
