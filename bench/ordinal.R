# Fits the table of bench/ordinal.ts by R's `ordinal` and prints seconds of the processor, log-likelihood and estimates as JSON.
suppressPackageStartupMessages({ library(ordinal); library(jsonlite) })
d <- read.csv(commandArgs(TRUE)[1])
d$class <- ordered(d$class)
d$group <- factor(d$group)
timed <- function(run) {
  seconds <- system.time(fit <- run())
  list(seconds = sum(seconds[1:2]), logLik = as.numeric(logLik(fit)), slope = unname(coef(fit)["x"]))
}
cat(toJSON(list(
  plain = timed(function() clm(class ~ x, data = d, link = "probit")),
  mixed = timed(function() clmm(class ~ x + (1 | group), data = d, link = "probit", nAGQ = 10))
), auto_unbox = TRUE, digits = NA))
