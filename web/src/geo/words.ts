/** What the program tells, as a sentence: a capital before it and a full stop behind. */
export function sentence(text: string): string {
  const whole = text.trim();
  return whole === '' ? '' : whole.charAt(0).toUpperCase() + whole.slice(1) + (/[.?!…:]$/.test(whole) ? '' : '.');
}

/** An amount of money as it is written: £10.74; without a currency the figure alone. */
export function amount(text: string, currency = '', decimals?: number): string {
  const digits = { minimumFractionDigits: decimals ?? 2, maximumFractionDigits: decimals ?? 2 };
  const money: Intl.NumberFormatOptions = currency ? { style: 'currency', currency, ...(decimals === undefined ? {} : digits) } : digits;
  return new Intl.NumberFormat('en-GB', money).format(Number(text));
}
