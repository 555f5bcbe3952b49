//! Real pixels without a display: a small software painter for the window toolkit's triangles.
//!
//! Premultiplied blending in gamma space like the toolkit's own shaders, top-left fill rule in fixed point.

use egui::epaint::{ClippedPrimitive, Primitive, textures::TexturesDelta};
use egui::{Color32, ImageData, TextureFilter, TextureId, TextureOptions};
use egui_kittest::TestRenderer;
use image::RgbaImage;
use std::collections::HashMap;

struct Tex {
    w: usize,
    h: usize,
    px: Vec<Color32>,
    opt: TextureOptions,
}

#[derive(Default)]
pub struct CpuPainter {
    tex: HashMap<TextureId, Tex>,
}

impl TestRenderer for CpuPainter {
    fn handle_delta(&mut self, delta: &mut TexturesDelta) {
        self.apply(delta);
    }

    fn render(&mut self, ctx: &egui::Context, output: &egui::FullOutput) -> Result<RgbaImage, String> {
        let pixels_per_point = ctx.pixels_per_point();
        let size = ctx.content_rect().size() * pixels_per_point;
        let primitives = ctx.tessellate(output.shapes.clone(), pixels_per_point);
        let (w, h) = (size.x.round() as usize, size.y.round() as usize);
        let rgba = self.paint(&primitives, pixels_per_point, w, h);
        RgbaImage::from_raw(w as u32, h as u32, rgba).ok_or("the picture has another size".into())
    }
}

impl CpuPainter {
    /// Takes the changed textures.
    pub fn apply(&mut self, delta: &mut TexturesDelta) {
        for (id, images) in delta.set.drain() {
            for d in images {
                let ImageData::Color(img) = &d.image;
                let [w, h] = img.size;
                match d.pos {
                    None => {
                        self.tex.insert(id, Tex { w, h, px: img.pixels.clone(), opt: d.options });
                    }
                    Some([x0, y0]) => {
                        if let Some(t) = self.tex.get_mut(&id) {
                            for y in 0..h {
                                let dst = (y0 + y) * t.w + x0;
                                t.px[dst..dst + w].copy_from_slice(&img.pixels[y * w..(y + 1) * w]);
                            }
                        }
                    }
                }
            }
        }
        for id in delta.free.drain() {
            self.tex.remove(&id);
        }
    }

    /// Returns premultiplied RGBA8, `w*h*4` bytes.
    pub fn paint(&self, prims: &[ClippedPrimitive], ppp: f32, w: usize, h: usize) -> Vec<u8> {
        let mut out = vec![0u8; w * h * 4];
        for p in prims {
            let Primitive::Mesh(m) = &p.primitive else { continue };
            let Some(tex) = self.tex.get(&m.texture_id) else { continue };
            let c = p.clip_rect;
            let clip = [
                (c.min.x * ppp).round().clamp(0.0, w as f32) as i64,
                (c.min.y * ppp).round().clamp(0.0, h as f32) as i64,
                (c.max.x * ppp).round().clamp(0.0, w as f32) as i64,
                (c.max.y * ppp).round().clamp(0.0, h as f32) as i64,
            ];
            for t in m.indices.chunks_exact(3) {
                let v = [0, 1, 2].map(|k| &m.vertices[t[k] as usize]);
                triangle(&mut out, w, tex, v, ppp, clip);
            }
        }
        out
    }
}

fn sample(t: &Tex, u: f32, v: f32) -> [f32; 4] {
    let get = |x: i64, y: i64| {
        let x = x.clamp(0, t.w as i64 - 1) as usize;
        let y = y.clamp(0, t.h as i64 - 1) as usize;
        t.px[y * t.w + x].to_array().map(|c| c as f32)
    };
    let (x, y) = (u * t.w as f32, v * t.h as f32);
    if t.opt.magnification == TextureFilter::Nearest {
        return get(x.floor() as i64, y.floor() as i64);
    }
    let (x, y) = (x - 0.5, y - 0.5);
    let (x0, y0) = (x.floor(), y.floor());
    let (fx, fy) = (x - x0, y - y0);
    let (x0, y0) = (x0 as i64, y0 as i64);
    let (a, b, c, d) = (get(x0, y0), get(x0 + 1, y0), get(x0, y0 + 1), get(x0 + 1, y0 + 1));
    std::array::from_fn(|i| {
        let top = a[i] + (b[i] - a[i]) * fx;
        let bot = c[i] + (d[i] - c[i]) * fx;
        top + (bot - top) * fy
    })
}

fn triangle(out: &mut [u8], w: usize, tex: &Tex, mut v: [&egui::epaint::Vertex; 3], ppp: f32, clip: [i64; 4]) {
    const S: f32 = 256.0;
    let fx = |p: &egui::epaint::Vertex| ((p.pos.x * ppp * S).round() as i64, (p.pos.y * ppp * S).round() as i64);
    let mut p = [fx(v[0]), fx(v[1]), fx(v[2])];
    let orient = |a: (i64, i64), b: (i64, i64), q: (i64, i64)| (b.0 - a.0) * (q.1 - a.1) - (b.1 - a.1) * (q.0 - a.0);
    let mut area = orient(p[0], p[1], p[2]);
    if area == 0 {
        return;
    }
    if area < 0 {
        p.swap(1, 2);
        v.swap(1, 2);
        area = -area;
    }
    // positive area with y down = clockwise on screen; top-left edges are inclusive
    let bias = |a: (i64, i64), b: (i64, i64)| {
        let top = a.1 == b.1 && b.0 > a.0;
        let left = b.1 < a.1;
        if top || left { 0 } else { -1 }
    };
    let bi = [bias(p[1], p[2]), bias(p[2], p[0]), bias(p[0], p[1])];
    let lo = |f: fn(&(i64, i64)) -> i64| p.iter().map(f).min().unwrap_or(0).div_euclid(256);
    let hi = |f: fn(&(i64, i64)) -> i64| p.iter().map(f).max().unwrap_or(0).div_euclid(256) + 1;
    let (x0, x1) = (lo(|q| q.0).max(clip[0]), hi(|q| q.0).min(clip[2]));
    let (y0, y1) = (lo(|q| q.1).max(clip[1]), hi(|q| q.1).min(clip[3]));
    let inv = 1.0 / area as f32;
    let col = v.map(|v| v.color.to_array().map(|c| c as f32));
    let flat = col[0] == col[1] && col[1] == col[2];
    for y in y0..y1 {
        for x in x0..x1 {
            let q = (x * 256 + 128, y * 256 + 128);
            let e = [orient(p[1], p[2], q), orient(p[2], p[0], q), orient(p[0], p[1], q)];
            if e[0] + bi[0] < 0 || e[1] + bi[1] < 0 || e[2] + bi[2] < 0 {
                continue;
            }
            let l = [e[0] as f32 * inv, e[1] as f32 * inv, e[2] as f32 * inv];
            let u = l[0] * v[0].uv.x + l[1] * v[1].uv.x + l[2] * v[2].uv.x;
            let t = l[0] * v[0].uv.y + l[1] * v[1].uv.y + l[2] * v[2].uv.y;
            let s = sample(tex, u, t);
            let i = (y as usize * w + x as usize) * 4;
            let c: [f32; 4] = if flat {
                col[0]
            } else {
                std::array::from_fn(|k| l[0] * col[0][k] + l[1] * col[1][k] + l[2] * col[2][k])
            };
            let src: [f32; 4] = std::array::from_fn(|k| s[k] * c[k] / 255.0);
            let ia = 1.0 - src[3] / 255.0;
            for k in 0..4 {
                out[i + k] = (src[k] + out[i + k] as f32 * ia).round().clamp(0.0, 255.0) as u8;
            }
        }
    }
}
