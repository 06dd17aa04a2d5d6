import type * as THREE from 'three';
import { evenX, evenY } from '#engine/units/evenPlaces.ts';
import type { ClothPrograms } from './clothPrograms.ts';
import type { ClothTextures } from './clothTextures.ts';
import type { Eye } from './eye.ts';
import { type HairDraw, hairDraws } from './hairWindow.ts';
import type { PictureTargets } from './pictureTargets.ts';
import type { Tile } from './tileSchedule.ts';

/** What a scene shows, and of that what the programs are told. */
export interface Shown {
  readonly textures: ClothTextures | null;
  /** What it asks of the programs. */
  readonly features: number;
  /** Whether every pixel is walked, hair included. */
  readonly walkAll: boolean;
}

/** The passes of the picture buffer: threads by the walk, their hair over them; the scene's uniforms are set already. */
export class BufferDrawer {
  shown: Shown = { textures: null, features: 0, walkAll: false };

  constructor(
    private readonly renderer: THREE.WebGLRenderer,
    private readonly programs: ClothPrograms,
    private readonly eye: Eye,
    private readonly countWork: boolean,
  ) {}

  /** Whether there is hair to draw: where the walk tells of its work nothing is laid over that. */
  get hasHair(): boolean {
    return !this.countWork && !!this.shown.textures?.hairs;
  }

  /** One sample of one tile; `middles`: through the pixels' middles, for reading back; `lit`: for a sample with light. */
  draw(targets: PictureTargets, tile: Tile, sample: number, middles = false, lit = false): void {
    const u = this.programs.uniforms;
    this.programs.use(this.shown.features, lit);
    targets.setScissor(tile.x, tile.y, tile.width, tile.height);
    this.setSample(sample);
    if (middles) u.uJitterSpread.value = 0;
    // A texture cannot be read while it is drawn to.
    for (const name of ['uId', 'uDepth', 'uNormal', 'uAxis', 'uLight']) u[name].value = null;
    this.drawThreads(targets);
    if (this.hasHair) {
      if (this.drawsHair) this.drawHair(targets, tile);
      else this.meetHair(targets);
    }
    const [id, depth, normal, axis] = targets.buffer.textures;
    u.uId.value = id;
    u.uDepth.value = depth;
    u.uNormal.value = normal;
    u.uAxis.value = axis;
  }

  /** Bodies alone. */
  drawThreads(targets: PictureTargets): void {
    const { walk, surfaces, apart, uniforms: u } = this.programs;
    if (!apart) {
      walk.draw(this.renderer, targets.buffer);
      return;
    }
    targets.shareTextures(this.renderer);
    walk.draw(this.renderer, targets.found);
    const [id, depth, cell] = targets.found.textures;
    u.uId.value = id;
    u.uDepth.value = depth;
    u.uCell.value = cell;
    surfaces.draw(this.renderer, targets.facing);
    // A texture cannot be read while it is drawn to.
    for (const name of ['uId', 'uDepth', 'uCell']) u[name].value = null;
  }

  setSample(sample: number): void {
    const u = this.programs.uniforms;
    u.uSample.value = sample;
    // A plain sequence of low discrepancy (R2), shifted in each pixel.
    u.uJitter.value.set(evenX(sample), evenY(sample));
    u.uJitterSpread.value = 1;
    u.uHairDrawn.value = this.drawsHair ? 1 : 0;
  }

  /** Hair by hair; lines of sight through kinds of crossings, and those of checks, meet it. */
  private get drawsHair(): boolean {
    return !this.shown.walkAll && this.programs.uniforms.uKinds.value.x === 0;
  }

  private meetHair(targets: PictureTargets): void {
    const { programs, renderer } = this;
    const { uDepth } = programs.uniforms;
    uDepth.value = null;
    targets.copyDepths(renderer);
    uDepth.value = targets.light.texture;
    programs.hairMet.draw(renderer, targets.buffer);
  }

  private drawHair(targets: PictureTargets, tile: Tile): void {
    const { textures } = this.shown;
    if (!textures?.hairs) return;
    const u = this.programs.uniforms;
    const { x, y } = u.uPixelOffset.value as THREE.Vector2;
    const part = { x: tile.x + x, y: tile.y + y, width: tile.width, height: tile.height };
    const size = u.uPictureSize.value as THREE.Vector2;
    const farFrom = u.uFarOn.value === 1 ? (u.uFarRange.value as THREE.Vector2).y : Number.POSITIVE_INFINITY;
    const draws = hairDraws(
      textures.cloth,
      textures.hairs,
      this.eye,
      size.x,
      size.y,
      part,
      u.uHairFromMm.value,
      farFrom,
    );
    const { hair, strands, whole } = this.programs;
    const passOf = ({ deep, whole: isWhole }: HairDraw) => (deep ? strands : isWhole ? whole : hair);
    for (const pass of [hair, strands, whole]) {
      const its = draws.filter((draw) => passOf(draw) === pass);
      pass.draw(this.renderer, targets.buffer, textures, its);
    }
  }
}
