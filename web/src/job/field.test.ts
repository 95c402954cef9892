import { expect, test } from 'vitest';
import { emptied, fieldOf, written } from './field';

// docs/formats/roster.md: {name} is the cell, {name|Crew} the cell or Crew where it is empty, {{ a brace.
test('a field is read, written and shown as it is where a row says nothing', () => {
  expect(fieldOf('{colour|light sapphire}')).toEqual({ name: 'colour', or: 'light sapphire' });
  expect(fieldOf('{colour}')).toEqual({ name: 'colour', or: '' });
  expect(fieldOf('crystal')).toBeNull();
  expect(fieldOf('SS{size|6}')).toBeNull();
  expect(emptied('SS{size|6}')).toBe('SS6');
  expect(emptied('{colour|crystal}')).toBe('crystal');
  expect(emptied('{{name}}')).toBe('{{name}}');
  expect(written({ name: ' stone "size": ', or: 'SS10' })).toBe('{stone size|SS10}');
  expect(fieldOf(written({ name: 'colour', or: 'jet' }))).toEqual({ name: 'colour', or: 'jet' });
});
