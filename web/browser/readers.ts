import { execFileSync } from 'node:child_process';
import { mkdtempSync, readdirSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const python = (script: string, ...args: string[]) => execFileSync('/usr/bin/python3', ['-c', script, ...args], { encoding: 'utf8' }).trim();

/** Unpacks a zip with Python's own reader, and gives the folder. */
export function unzip(path: string): { folder: string; names: string[] } {
  const folder = mkdtempSync(join(tmpdir(), 'brushfall-zip-'));
  python('import sys,zipfile; z=zipfile.ZipFile(sys.argv[1]); assert z.testzip() is None; z.extractall(sys.argv[2])', path, folder);
  return { folder, names: readdirSync(folder).sort() };
}

/** Draws an SVG with librsvg; throws if it cannot be read. Gives the size of the picture. */
export function drawn(path: string): { width: number; height: number } {
  const png = path + '.png';
  execFileSync('rsvg-convert', ['-o', png, path]);
  const [width, height] = python('import struct,sys; d=open(sys.argv[1],"rb").read(24); print(*struct.unpack(">II",d[16:24]))', png)
    .split(' ')
    .map(Number) as [number, number];
  return { width, height };
}

/** Reads a DXF with ezdxf, which audits it; gives the number of its circles. */
export function dxfCircles(path: string): number {
  return Number(python('import sys,ezdxf; d=ezdxf.readfile(sys.argv[1]); a=d.audit(); assert not a.errors, a.errors; print(len(d.modelspace().query("CIRCLE")))', path));
}

/** Checks a PDF with qpdf; throws where it finds a fault. */
export function soundPDF(path: string): void {
  execFileSync('qpdf', ['--check', path]);
}

/** A drawing of circles round one centre, radii in mm, as ezdxf writes it. */
export function dxfOfCircles(radii: number[]): Buffer {
  return Buffer.from(python('import sys,io,ezdxf; d=ezdxf.new("R2000",units=4); [d.modelspace().add_circle((100,100),float(r)) for r in sys.argv[1:]]; s=io.StringIO(); d.write(s); print(s.getvalue())', ...radii.map(String)) + '\n');
}
