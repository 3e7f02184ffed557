// Cuts the rows of a sheet with libpolyclipping: open paths, in the turned
// frame, a hundred thousandth of a micrometre a unit. Reads what TestWriteSheet
// writes; prints spans, marked length, and the times of the first call in the
// process and the best of five.
// "whole" clips all rows with all shapes of one fill rule at once, "shapes"
// each shape with the rows that reach it.
#include <algorithm>
#include <chrono>
#include <cmath>
#include <fstream>
#include <iostream>
#include <polyclipping/clipper.hpp>
#include <sstream>
#include <vector>
using namespace ClipperLib;

const double unit = 1e8; // a millimetre

struct Shape {
  PolyFillType rule;
  Paths rings;
};

struct Sum {
  long spans = 0;
  double length = 0;
};

static void clip(const Paths &rows, const Paths &rings, PolyFillType rule, Sum &sum) {
  Clipper c;
  c.AddPaths(rows, ptSubject, false);
  c.AddPaths(rings, ptClip, true);
  PolyTree tree;
  c.Execute(ctIntersection, tree, pftEvenOdd, rule);
  Paths out;
  OpenPathsFromPolyTree(tree, out);
  sum.spans += out.size();
  for (auto &p : out) sum.length += std::abs(double(p.back().X - p.front().X)) / unit;
}

int main(int argc, char **argv) {
  std::ifstream in(argv[1]);
  bool whole = std::string(argv[2]) == "whole";
  std::string line, word;
  int n = 0;
  double y0 = 0, step = 0, x0 = 1e300, x1 = -1e300;
  std::vector<Shape> shapes;
  while (std::getline(in, line)) {
    std::istringstream s(line);
    s >> word;
    if (word == "rows") s >> n >> y0 >> step;
    if (word == "shape") {
      s >> word;
      shapes.push_back({word == "evenodd" ? pftEvenOdd : pftNonZero, {}});
    }
    if (word == "ring") {
      size_t k;
      s >> k;
      Path p;
      for (double x, y; s >> x >> y;) {
        p << IntPoint(std::llround(x * unit), std::llround(y * unit));
        x0 = std::min(x0, x - 1);
        x1 = std::max(x1, x + 1);
      }
      shapes.back().rings.push_back(p);
    }
  }
  auto row = [&](int k) {
    cInt y = std::llround((y0 + k * step) * unit);
    return Path{IntPoint(std::llround(x0 * unit), y), IntPoint(std::llround(x1 * unit), y)};
  };
  double first = 0, best = 1e300;
  Sum sum;
  for (int run = 0; run < 5; run++) {
    sum = Sum();
    auto start = std::chrono::steady_clock::now();
    if (whole) {
      Paths rows;
      for (int k = 0; k < n; k++) rows.push_back(row(k));
      for (auto rule : {pftEvenOdd, pftNonZero}) {
        Paths rings;
        for (auto &s : shapes)
          if (s.rule == rule) rings.insert(rings.end(), s.rings.begin(), s.rings.end());
        clip(rows, rings, rule, sum);
      }
    } else {
      for (auto &s : shapes) {
        double lo = 1e300, hi = -1e300;
        for (auto &r : s.rings)
          for (auto &p : r) lo = std::min(lo, p.Y / unit), hi = std::max(hi, p.Y / unit);
        Paths rows;
        for (int k = std::max(0., std::ceil((lo - y0) / step)); k < n && y0 + k * step <= hi; k++) rows.push_back(row(k));
        clip(rows, s.rings, s.rule, sum);
      }
    }
    double took = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    if (run == 0) first = took;
    best = std::min(best, took);
  }
  printf("libpolyclipping, %s: %ld spans, %.4f mm, first %.2f ms, best %.2f ms\n", argv[2], sum.spans, sum.length,
         first * 1e3, best * 1e3);
}
