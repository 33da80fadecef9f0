import { BackSide, type BufferGeometry, type Color, Mesh, ShaderMaterial, Vector2 } from 'three';

/**
 * An outline of even width on the screen: the skin again, inside out, grown along its normals by a
 * number of pixels and pushed a little back, so that lines between overlapping parts stay fine.
 */
export function inkOutline(colour: Color, pixels: number): ShaderMaterial {
  return new ShaderMaterial({
    side: BackSide,
    uniforms: {
      colour: { value: colour },
      pixels: { value: pixels },
      size: { value: new Vector2(1, 1) },
    },
    vertexShader: `
      uniform float pixels;
      uniform vec2 size;
      void main() {
        vec4 place = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
        vec2 out2 = (projectionMatrix * vec4(normalize(normalMatrix * normal), 0.0)).xy * size;
        float reach = length(out2);
        if (reach > 0.0001) place.xy += out2 / reach * pixels * 2.0 / size * place.w;
        place.z += 0.00012 * place.w;
        gl_Position = place;
      }`,
    fragmentShader: `
      uniform vec3 colour;
      void main() {
        gl_FragColor = vec4(colour, 1.0);
        #include <colorspace_fragment>
      }`,
  });
}

/** A skin's outline; the pointer looks through it, for the skin itself is under it. */
export function inkMesh(skin: BufferGeometry, ink: ShaderMaterial): Mesh {
  const mesh = new Mesh(skin, ink);
  mesh.raycast = () => undefined;
  return mesh;
}
