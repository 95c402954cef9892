import { expect, test } from 'vitest';
import { amount, sentence } from './words';

test('what the program tells is made a sentence, once', () => {
  expect(sentence('the gap is tight; a wider one needs fewer plates')).toBe('The gap is tight; a wider one needs fewer plates.');
  expect(sentence('Is it there?')).toBe('Is it there?');
  expect(sentence('')).toBe('');
});

// The signs and their places in English: Unicode CLDR, locale en-GB; the yen has no smaller coin (ISO 4217).
test('amounts carry the sign of their currency', () => {
  expect(amount('10.74', 'GBP')).toBe('£10.74');
  expect(amount('6.5', 'EUR')).toBe('€6.50');
  expect(amount('1200', 'JPY')).toBe('JP¥1,200');
  expect(amount('0.1234', 'GBP', 4)).toBe('£0.1234');
  expect(amount('1234.5')).toBe('1,234.50');
});
