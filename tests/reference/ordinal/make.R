# Makes the reference values of this folder again from the data in its JSON files, with R's `ordinal` (and MASS::polr).
#   Rscript tests/reference/ordinal/make.R > values.json
# Prints one JSON object: check id -> fit -> coef, se, logLik (and sd, ranef of a random intercept), or for
# ord-wine-loocv the held-out probabilities. Not made here: ord-expected-information-se (R's VGAM), ord-wine-statsmodels
# (Python), and the closed forms of ord-null-closed-form, ord-threshold-inversion and ord-wine-separation, which the tests
# work out themselves.

suppressPackageStartupMessages({
  library(ordinal)
  library(MASS)
  library(jsonlite)
})

here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(FALSE), value = TRUE)[1]))
read_data <- function(id) fromJSON(file.path(here, paste0(id, ".json")))$data

describe <- function(fit) {
  table <- coef(summary(fit))
  list(
    coef = as.list(setNames(table[, 1], make.unique(rownames(table)))),
    se = as.list(setNames(table[, 2], make.unique(rownames(table)))),
    logLik = as.numeric(logLik(fit))
  )
}
describe_mixed <- function(fit) {
  out <- describe(fit)
  out$sd <- as.numeric(attr(VarCorr(fit)[[1]], "stddev"))
  out$ranef <- as.numeric(ranef(fit)[[1]][, 1])
  out
}
describe_polr <- function(fit) {
  se <- sqrt(diag(vcov(fit)))
  list(coef = as.list(c(coef(fit), fit$zeta)), se = as.list(se), logLik = as.numeric(logLik(fit)))
}

wine_rows <- function(id) {
  d <- read_data(id)
  data.frame(
    rating = ordered(d$rating), temp = factor(d$temp, c("cold", "warm")), contact = factor(d$contact, c("no", "yes")),
    judge = factor(d$judge), bottle = factor(d$bottle)
  )
}

wine <- wine_rows("ord-wine-clm-logit")
mental <- as.data.frame(read_data("ord-mental-impairment"))
mental$mental <- ordered(mental$mental)
h <- read_data("ord-housing-polr")
housing <- data.frame(
  Sat = ordered(h$Sat, h$levels$Sat), Infl = factor(h$Infl, h$levels$Infl), Type = factor(h$Type, h$levels$Type),
  Cont = factor(h$Cont, h$levels$Cont), Freq = h$Freq
)
u <- read_data("ord-ucla-ologit")
ucla <- data.frame(
  apply = ordered(u$apply, c("unlikely", "somewhat likely", "very likely")), pared = u$pared, public = u$public, gpa = u$gpa
)
s <- read_data("ord-sim-levels-observers")
levels_seen <- data.frame(
  class = ordered(s$class, c("too low", "low", "good", "high")), lq = s$log10_flow, obs = factor(s$observer)
)

left_out <- function(i) {
  fit <- clm(rating ~ temp + contact, data = wine[-i, ])
  as.numeric(predict(fit, newdata = wine[i, c("temp", "contact")], type = "prob")$fit)
}

results <- list(
  "ord-wine-loocv" = list(prob = t(sapply(seq_len(nrow(wine)), left_out))),
  "ord-wine-clm-logit" = list(logit = describe(clm(rating ~ temp + contact, data = wine))),
  "ord-wine-clm-links" = list(probit = describe(clm(rating ~ temp + contact, data = wine, link = "probit"))),
  "ord-wine-clm-fixed-observer" = list(logit = describe(clm(rating ~ temp + contact + judge, data = wine))),
  "ord-wine-clmm-judge" = list(
    agq10_clmm = describe_mixed(clmm(rating ~ temp + contact + (1 | judge), data = wine, nAGQ = 10))
  ),
  "ord-wine-clmm-extra" = list(
    probit_agq10 = describe_mixed(clmm(rating ~ temp + contact + (1 | judge), data = wine, nAGQ = 10, link = "probit"))
  ),
  "ord-mental-impairment" = list(
    logit = describe(clm(mental ~ ses + life, data = mental)),
    probit = describe(clm(mental ~ ses + life, data = mental, link = "probit")),
    interaction = describe(clm(mental ~ ses * life, data = mental))
  ),
  "ord-housing-polr" = list(
    logit = describe_polr(polr(Sat ~ Infl + Type + Cont, weights = Freq, data = housing, Hess = TRUE)),
    probit = describe_polr(polr(Sat ~ Infl + Type + Cont, weights = Freq, data = housing, Hess = TRUE, method = "probit"))
  ),
  "ord-ucla-ologit" = list(
    logit_clm = describe(clm(apply ~ pared + public + gpa, data = ucla)),
    probit_clm = describe(clm(apply ~ pared + public + gpa, data = ucla, link = "probit"))
  ),
  "ord-sim-levels-observers" = list(
    clm_logit = describe(clm(class ~ lq, data = levels_seen)),
    clm_probit = describe(clm(class ~ lq, data = levels_seen, link = "probit")),
    fixed_observers = describe(clm(class ~ lq + obs, data = levels_seen)),
    random_agq10 = describe_mixed(clmm(class ~ lq + (1 | obs), data = levels_seen, nAGQ = 10))
  )
)

cat(toJSON(results, auto_unbox = TRUE, digits = NA))
