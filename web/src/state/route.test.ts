import { expect, test } from 'vitest';
import { address, parse, shopPages, stations, type Route } from './route';

const routes: Route[] = [
  { page: 'shelf' },
  { page: 'list', id: 'a1' },
  ...stations.map((station): Route => ({ page: 'design', id: 'x7', station })),
  { page: 'design', id: 'x7', station: 'stones', region: 'wing covert/1?&', finding: 3 },
  { page: 'design', id: 'x7', station: 'plates', plate: 2 },
  ...shopPages.map((part): Route => ({ page: 'shop', part })),
  { page: 'shop', part: 'jobs', item: 'J-12' },
];

test.each(routes.map((r) => [address(r), r] as const))('%s leads back to where it was made', (hash, route) => {
  expect(parse(hash)).toEqual(route);
});

test.each(['', '#', '#/', '#/nowhere', '#/design', '#%'])('%j leads to the shelf', (hash) => {
  expect(parse(hash)).toEqual({ page: 'shelf' });
});

test('an unknown station is the stones, a finding that is no number is none', () => {
  expect(parse('#/design/x/engine?finding=-1')).toEqual({ page: 'design', id: 'x', station: 'stones' });
});
