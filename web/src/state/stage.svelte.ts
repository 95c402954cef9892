import type { Box, Camera } from '../view/camera';
import type { Layer } from '../view/scene';

export interface Press {
  /** Place in the plane, mm. */
  x: number;
  y: number;
  /** Place on the screen, px of the stage. */
  sx: number;
  sy: number;
  touch: boolean;
  shift: boolean;
}

/** What the pointer and the keys do on the stage. What it leaves alone pans and zooms. */
export interface Tool {
  cursor?: string;
  hover?(p: Press | null): void;
  /** Gives true to take the drag that begins here. */
  press?(p: Press): boolean;
  drag?(p: Press): void;
  /** Ends a drag that was taken. */
  drop?(p: Press): void;
  cancel?(): void;
  /** A press and release at one place. */
  tap?(p: Press): void;
  doubleTap?(p: Press): void;
  /** Gives true for a key that it has used. */
  key?(e: KeyboardEvent): boolean;
}

/** What lies on the mat now; the station at work sets it. */
class Stage {
  layers = $state.raw<Layer[]>([]);
  box = $state.raw<Box>({ x0: 0, y0: 0, x1: 100, y1: 100 });
  /** The view is fitted to the box anew when this changes. */
  subject = $state('');
  overlay = $state.raw<(ctx: CanvasRenderingContext2D, camera: Camera) => void>(() => {});
  tool = $state.raw<Tool>({});
  label = $state('');
  /** What is being done, told on the mat beside what moves. */
  caption = $state('');
  scale = $state(1);
  /** Set by the stage itself. */
  fly: (x: number, y: number, scale?: number) => void = () => {};
  refit: () => void = () => {};
  repaint: () => void = () => {};
}

export const stage = new Stage();
