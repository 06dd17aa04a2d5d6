// Metal leaf pressed on the cloth: from which height on the face and on the back, mm, and its rows in the material table
// (src/engine/packing/layLeaf.ts).
uniform highp vec4 uLeaf;

// Film and leaf lean in facets, wherever they lie on the thread: once for both, to keep programs small.
void leanSurface(inout YarnSurface yarn, ThreadPlace s) {
#ifdef WITH_FACETS
  leanFacets(s, yarn.optics, yarn.normal, yarn.tangent);
#ifdef GRATINGS
  ruleFilm(s, yarn.optics, yarn.normal, yarn.tangent);
#endif
#endif
}

// Leaf where the cloth stands high and faces the press. It bridges half of what fibres and plies stand off one another (estimate).
void layLeaf(inout YarnSurface yarn, ThreadPlace s, vec3 at) {
#ifdef WITH_FACETS
  bool face = at.z > uLeaf.x && s.normal.z > LEAF_FACING;
  bool back = at.z < uLeaf.y && s.normal.z < -LEAF_FACING;
  if (!face && !back) return;
  int texel = faceTexel(int(face ? uLeaf.z : uLeaf.w), 0);
  yarn.optics = opticsAt(texel);
  yarn.reflectance = texelFetch(uMaterialTable, tableAt(texel), 0).rgb;
  yarn.normal = normalize(yarn.normal + s.normal);
  yarn.open = 1.0;
  yarn.tangent = fibreTangent(s.axis, yarn.normal, 0.0);
#endif
}
