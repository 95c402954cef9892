// Addresses of the page, behind the #: they can be kept, sent and opened again.

export const stations = ['drawing', 'stones', 'plates', 'sheets', 'papers'] as const;
export type Station = (typeof stations)[number];

export const shopPages = ['jobs', 'quotes', 'stock', 'buy', 'customers', 'templates', 'catalogue', 'fits', 'prices'] as const;
export type ShopPage = (typeof shopPages)[number];

export type Route =
  | { page: 'shelf' }
  | { page: 'design'; id: string; station: Station; region?: string; finding?: number; plate?: number }
  | { page: 'list'; id: string }
  | { page: 'shop'; part: ShopPage; item?: string };

/** Reads an address; what it does not know leads to the shelf. */
export function parse(hash: string): Route {
  const [path = '', query = ''] = hash.replace(/^#\/?/, '').split('?');
  const parts = path.split('/').filter(Boolean).map(decoded);
  const more = new URLSearchParams(query);
  if (parts[0] === 'design' && parts[1]) {
    if (parts[2] === 'list') return { page: 'list', id: parts[1] };
    const station = stations.find((s) => s === parts[2]) ?? 'stones';
    return {
      page: 'design',
      id: parts[1],
      station,
      ...(more.get('region') ? { region: more.get('region')! } : {}),
      ...(whole(more.get('finding')) !== null ? { finding: whole(more.get('finding'))! } : {}),
      ...(whole(more.get('plate')) !== null ? { plate: whole(more.get('plate'))! } : {}),
    };
  }
  if (parts[0] === 'shop') {
    const part = shopPages.find((p) => p === parts[1]) ?? 'jobs';
    return { page: 'shop', part, ...(parts[2] ? { item: parts[2] } : {}) };
  }
  return { page: 'shelf' };
}

function decoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}

function whole(text: string | null): number | null {
  return text !== null && /^\d+$/.test(text) ? Number(text) : null;
}

/** The address of a place in the page. */
export function address(route: Route): string {
  switch (route.page) {
    case 'shelf':
      return '#/';
    case 'list':
      return `#/design/${encodeURIComponent(route.id)}/list`;
    case 'shop':
      return `#/shop/${route.part}${route.item ? '/' + encodeURIComponent(route.item) : ''}`;
    case 'design': {
      const more = new URLSearchParams();
      if (route.region) more.set('region', route.region);
      if (route.finding !== undefined) more.set('finding', String(route.finding));
      if (route.plate !== undefined) more.set('plate', String(route.plate));
      const query = more.size ? `?${more}` : '';
      return `#/design/${encodeURIComponent(route.id)}/${route.station}${query}`;
    }
  }
}
