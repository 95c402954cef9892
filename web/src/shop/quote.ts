// A quote as the program tells it.

export interface Offer {
  design: string;
  for: string;
  blank: string;
  quantity: number;
  price: string;
  amount: string;
  less: string;
  listed: boolean;
  least: string;
  cost: { total: string; seconds: string; lines: { what: string; amount: string; how: string; sources: string[] }[] };
  by_hand: { template: string; pays: number };
}

export interface Quote {
  quote?: number;
  day: string;
  until: string;
  customer?: number;
  called?: string;
  answer: string;
  job?: number;
  note?: string;
  total: string;
  lines: Offer[];
  extras: { what: string; amount: string }[] | null;
  rush: string;
  shown: string;
  sale: { goods: string; tax: string; taxes: { name: string; share: string; amount: string }[] | null; total: string; fees: { name: string; amount: string }[] | null; left: string };
  cost: string;
  earned: string;
  margin: string;
  markup: string;
  hours: string;
  hourly: string;
  settings: Record<string, { value: string; source: string }>;
}

/** What pieces are for, in the words of the page. */
export const purposes = [
  { name: 'transfer', label: 'transfer on its tape' },
  { name: 'garment', label: 'on a garment' },
  { name: 'bag', label: 'on a bag' },
  { name: 'bow', label: 'on a bow' },
  { name: 'disc', label: 'on a disc' },
  { name: 'decal', label: 'decal on film' },
];

export function purpose(name: string): string {
  return purposes.find((p) => p.name === name)?.label ?? `on ${name}`;
}
