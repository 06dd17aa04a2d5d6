import * as THREE from 'three';

/**
 * What a pass writes `count` RGBA of whole numbers a pixel to: 32 bits keep floats as they are, and every device draws to them.
 * Read texel by texel.
 */
export function wholeNumberTarget(width: number, height: number, count: number): THREE.WebGLRenderTarget {
  return new THREE.WebGLRenderTarget(width, height, {
    count,
    depthBuffer: false,
    minFilter: THREE.NearestFilter,
    magFilter: THREE.NearestFilter,
    format: THREE.RGBAIntegerFormat,
    internalFormat: 'RGBA32UI',
    type: THREE.UnsignedIntType,
  });
}
