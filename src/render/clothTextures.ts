import * as THREE from 'three';
import { bodyHeights } from '#engine/packing/bodyHeights.ts';
import { MAX_TEXTURE_SIDE, TABLE_WIDTH } from '#engine/packing/clothBufferLayout.ts';
import { type FamilyColours, familyColours } from '#engine/packing/familyColours.ts';
import type { FarCloth } from '#engine/packing/far/farTypes.ts';
import { type HairThreads, hairThreads } from '#engine/packing/hairThreads.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { TABLE_LEVELS, TABLE_NODES } from '#engine/scatter/scatterLayout.ts';
import { featuresOf } from './programFeatures.ts';

/** Beyond any cloth: where leaf begins on a side without any. */
const NO_LEAF_MM = 1e6;

export type Uniforms = Record<string, THREE.IUniform>;

/** Uniforms for the cloth's arrays, all unset. */
export function createClothUniforms(): Uniforms {
  const names = [
    'uWarpNodes',
    'uWeftNodes',
    'uEndTable',
    'uRowTable',
    'uLineTable',
    'uBucketTable',
    'uTileTable',
    'uExtraTable',
    'uExtraList',
    'uMaterialTable',
    'uScatterTable',
    'uFarClassOf',
  ];
  const uniforms: Uniforms = {};
  for (const name of names) uniforms[name] = { value: null };
  return {
    ...uniforms,
    uCount: { value: new THREE.Vector3() },
    uPeriod: { value: new THREE.Vector3() },
    uPerPeriod: { value: new THREE.Vector2() },
    uTilesAcross: { value: 1 },
    uSideBySide: { value: 0 },
    uPartialRows: { value: 0 },
    uWrapScaleMm: { value: 0 },
    uLeaf: { value: new THREE.Vector4(NO_LEAF_MM, -NO_LEAF_MM, 0, 0) },
    uEndBuckets: { value: new THREE.Vector2() },
    uLineBuckets: { value: new THREE.Vector2() },
    uBucketRanges: { value: new THREE.Vector4() },
    uBoundsMin: { value: new THREE.Vector3() },
    uBoundsMax: { value: new THREE.Vector3() },
    uBodyHeights: { value: new THREE.Vector2() },
    uWarpColour: { value: new THREE.Vector3() },
    uWeftColour: { value: new THREE.Vector3() },
    uFarPeriod: { value: new THREE.Vector2(1, 1) },
  };
}

/** The cloth's arrays on the GPU. three uploads them again by itself after a restored context. */
export class ClothTextures {
  private readonly textures: THREE.Texture[] = [];
  private readonly bodyHeights: readonly [number, number];
  private readonly colours: FamilyColours;
  private readonly byName: Record<string, THREE.Texture | null>;
  private farModel: FarCloth | null = null;
  private placeTexture: THREE.Texture | null = null;
  /** Which threads have hair; null for a cloth without. */
  readonly hairs: HairThreads | null;
  readonly hairList: THREE.Texture | null;
  /** What it asks of the programs that draw it. */
  readonly features: number;

  constructor(
    readonly cloth: PackedCloth,
    private readonly uniforms: Uniforms,
  ) {
    this.bodyHeights = bodyHeights(cloth);
    this.colours = familyColours(cloth);
    this.byName = {
      uWarpNodes: this.nodes(cloth.warpNodes),
      uWeftNodes: this.nodes(cloth.weftNodes),
      uEndTable: this.table(cloth.endTable),
      uRowTable: this.table(cloth.rowTable),
      uLineTable: this.table(cloth.lineTable),
      uBucketTable: this.table(cloth.bucketTable),
      uTileTable: this.table(cloth.tileTable),
      uExtraTable: this.table(cloth.extraTable),
      uExtraList: this.table(cloth.extraList),
      uMaterialTable: this.table(cloth.materialTable),
      uScatterTable: this.scatter(cloth),
      uFarClassOf: null,
    };
    this.hairs = cloth.hairy ? hairThreads(cloth) : null;
    this.features = featuresOf(cloth, this.hairs);
    this.hairList = this.hairs ? this.table(this.hairs.table) : null;
    this.bind();
  }

  /** What the cloth is from afar, where that is known by now. */
  get far(): FarCloth | null {
    return this.farModel;
  }

  /** The cells that its kinds of crossings are looked at in. */
  get places(): THREE.Texture | null {
    return this.placeTexture;
  }

  /** A cloth of more lines or ends than a texture has a side for goes without. */
  setFar(far: FarCloth): void {
    if (this.farModel || Math.max(far.lines, far.ends) > MAX_TEXTURE_SIDE) return;
    this.farModel = far;
    const classOf = new THREE.DataTexture(far.classOf as Uint8Array<ArrayBuffer>, far.ends, far.lines);
    classOf.format = THREE.RedIntegerFormat;
    classOf.type = THREE.UnsignedByteType;
    classOf.internalFormat = 'R8UI';
    this.byName.uFarClassOf = this.keep(classOf);
    // Rows of bytes, of any length.
    classOf.unpackAlignment = 1;
    this.placeTexture = this.table(far.placeTable);
  }

  /** Makes this the cloth that is drawn: several may be loaded. */
  bind(): void {
    const { cloth, uniforms } = this;
    for (const [name, texture] of Object.entries(this.byName)) uniforms[name].value = texture;
    uniforms.uCount.value.set(cloth.ends, cloth.rows, cloth.lines);
    uniforms.uPeriod.value.set(cloth.periodEnds, cloth.periodRows, cloth.pagesAcross);
    uniforms.uPerPeriod.value.set(1 / cloth.periodEnds, 1 / cloth.periodRows);
    uniforms.uTilesAcross.value = cloth.tilesAcross;
    uniforms.uSideBySide.value = cloth.sideBySide ? 1 : 0;
    uniforms.uPartialRows.value = cloth.partialRows ? 1 : 0;
    uniforms.uWrapScaleMm.value = cloth.wrapScaleMm;
    const { face, back } = cloth.leaf ?? {};
    uniforms.uLeaf.value.set(
      Math.min(NO_LEAF_MM, face?.heightMm ?? NO_LEAF_MM),
      Math.max(-NO_LEAF_MM, back?.heightMm ?? -NO_LEAF_MM),
      face?.row ?? 0,
      back?.row ?? 0,
    );
    uniforms.uEndBuckets.value.set(cloth.endBuckets.startMm, cloth.endBuckets.perMm);
    uniforms.uLineBuckets.value.set(cloth.lineBuckets.startMm, cloth.lineBuckets.perMm);
    uniforms.uBucketRanges.value.set(
      cloth.endBuckets.count,
      cloth.endBuckets.offset,
      cloth.lineBuckets.count,
      cloth.lineBuckets.offset,
    );
    uniforms.uBoundsMin.value.set(...cloth.bounds.min);
    uniforms.uBoundsMax.value.set(...cloth.bounds.max);
    uniforms.uBodyHeights.value.set(...this.bodyHeights);
    uniforms.uWarpColour.value.set(...this.colours.warp);
    uniforms.uWeftColour.value.set(...this.colours.weft);
    if (this.farModel) uniforms.uFarPeriod.value.set(this.farModel.ends, this.farModel.lines);
  }

  dispose(): void {
    for (const texture of this.textures) texture.dispose();
    for (const uniform of Object.values(this.uniforms)) {
      if (uniform.value instanceof THREE.Texture) uniform.value = null;
    }
  }

  private nodes(texels: Uint32Array): THREE.Texture {
    const { pageWidth, pageHeight, pages } = this.cloth;
    // WebGL takes views over plain buffers only.
    const texture = new THREE.DataArrayTexture(texels as Uint32Array<ArrayBuffer>, pageWidth, pageHeight, pages);
    // three knows no three-channel integer format, but takes a WebGL constant's name for one.
    texture.format = 'RGB_INTEGER' as unknown as THREE.PixelFormat;
    texture.type = THREE.UnsignedIntType;
    texture.internalFormat = 'RGB32UI';
    return this.keep(texture);
  }

  private table(texels: Float32Array): THREE.Texture {
    const height = texels.length / (TABLE_WIDTH * 4);
    return this.keep(
      new THREE.DataTexture(
        texels as Float32Array<ArrayBuffer>,
        TABLE_WIDTH,
        height,
        THREE.RGBAFormat,
        THREE.FloatType,
      ),
    );
  }

  private scatter({ scatterTable, scatterBlocks }: PackedCloth): THREE.Texture {
    const texture = new THREE.Data3DTexture(
      scatterTable as Uint16Array<ArrayBuffer>,
      TABLE_NODES,
      TABLE_NODES,
      TABLE_LEVELS * scatterBlocks,
    );
    texture.format = THREE.RGBAFormat;
    texture.type = THREE.HalfFloatType;
    return this.keep(texture, THREE.LinearFilter);
  }

  private keep(texture: THREE.Texture, filter: THREE.MagnificationTextureFilter = THREE.NearestFilter): THREE.Texture {
    texture.minFilter = filter;
    texture.magFilter = filter;
    texture.generateMipmaps = false;
    texture.unpackAlignment = 4;
    texture.needsUpdate = true;
    this.textures.push(texture);
    return texture;
  }
}
