// What the page uses of three.js, and nothing else: the bundle holds only what these need.
export { BackSide, BufferAttribute, BufferGeometry, Color, ColorManagement, DoubleSide, FrontSide, GreaterDepth, LinearSRGBColorSpace, Mesh, MeshBasicMaterial, NotEqualStencilFunc, PerspectiveCamera, ReplaceStencilOp, Scene, WebGLRenderer } from 'three';
export { LineMaterial } from 'three/addons/lines/LineMaterial.js';
export { LineSegmentsGeometry } from 'three/addons/lines/LineSegmentsGeometry.js';
