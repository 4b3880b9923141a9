mod wall_bench;
use wall_bench::*;
#[test]
fn look() {
    let done: Vec<String> = std::env::var("DONE")
        .unwrap_or_default()
        .split(',')
        .filter(|s| !s.is_empty())
        .map(str::to_owned)
        .collect();
    let done: Vec<&str> = done.iter().map(String::as_str).collect();
    let mut bench = MemoryBench::new().done(&done);
    let t: Vec<u32> = std::env::var("AT")
        .unwrap_or("8:00".into())
        .split(':')
        .map(|s| s.parse().unwrap())
        .collect();
    let size = denib::tui::key::parse_size(&std::env::var("SIZE").unwrap_or("80x24".into())).unwrap();
    let set = denib::tui::script::Setting {
        size,
        colour: true,
        ascii: std::env::var("ASCII").is_ok(),
    };
    let day = std::env::var("DAY").map_or(0, |d| d.parse().unwrap());
    let p = denib::tui::script::play(
        &mut bench,
        at(day, t[0], t[1]),
        set,
        &std::env::var("KEYS").unwrap_or_default(),
    )
    .unwrap();
    println!("{}", p.text);
    if std::env::var("STYLES").is_ok() {
        println!("{}", p.styles);
    }
}
