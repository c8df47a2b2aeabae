mod flow;
mod listing;
mod loops;
mod path;
mod place;
mod stack;
use std::collections::*;
fn main() {
    let a: Vec<String> = std::env::args().collect();
    let out = std::process::Command::new("arm-none-eabi-objdump").args(["-d", "-C", "-z", "--no-show-raw-insn", &a[1]]).output().unwrap();
    let image = listing::read(&String::from_utf8_lossy(&out.stdout));
    let root = *image.iter().find(|(_, f)| f.name == a[2]).unwrap().0;
    let program = flow::program(&image, root).unwrap();
    let graph = path::Graph::new(&program, root).unwrap();
    let places = place::places(&a[1], program.values().flat_map(|f| f.blocks.values()).flat_map(|b| b.instructions.iter().copied())).unwrap();
    let n: u32 = a[3].parse().unwrap();
    let mut bounds = path::Bounds::new();
    for (flow, of) in graph.loops() {
        bounds.insert(of.head, n);
        println!("loop {:x} {} body {} blocks", of.head, flow.name, of.body.len());
        for t in &of.tails { let l = flow.blocks[t].instructions.last().unwrap(); println!("    tail {l:x} {} {:?}", image[&flow.entry].instructions[l].text, places.get(l)); }
        let l = flow.blocks[&of.head].instructions.first().unwrap(); println!("    head {:?}", places.get(l));
        if of.body.len() < 3 { for b in &of.body { for l in &flow.blocks[b].instructions { println!("           {l:x} {}", image[&flow.entry].instructions[l].text); } } }
    }
    let p = graph.longest(&bounds, &BTreeSet::new()).unwrap();
    println!("stack {:?}", stack::deepest(&image, &graph));
    println!("{}", p.instructions - 1);
    let mut by: BTreeMap<String, u32> = BTreeMap::new();
    let mut all: BTreeMap<u32, (u32, &flow::Flow)> = BTreeMap::new();
    for f in program.values() { for (b, _) in &f.blocks { all.insert(*b, (p.blocks.get(b).copied().unwrap_or(0), f)); } }
    for (b, (c, f)) in &all { for i in &f.blocks[b].instructions {
        let k = places.get(i).and_then(|c| c.iter().rev().skip(1).next().or(c.first())).cloned().unwrap_or_default();
        *by.entry(k).or_default() += c; } }
    for (k, v) in by { println!("  {k} {v}"); }
    if a.len() > 4 { for (b, (c, f)) in &all { let i = &f.blocks[b].instructions; println!("{c:3} {b:x} {:3} {:?} -> {}", i.len(), places.get(&i[0]), f.blocks[b].next.iter().map(|n| format!("{n:x} ")).collect::<String>()); } }
}
