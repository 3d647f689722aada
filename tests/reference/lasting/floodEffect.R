# Cumulative probit with one random intercept a flood, by R package ordinal. Writes floodEffect.json beside this file:
#   Rscript floodEffect.R
library(ordinal)
set.seed(7)
floods <- rep(1:12, times = c(3, 2, 4, 1, 5, 3, 2, 6, 1, 4, 3, 2))
x <- round(rnorm(length(floods)), 2)
effect <- rnorm(12, 0, 0.7)
latent <- 1.4 * x + effect[floods] + rnorm(length(floods))
class <- cut(latent, c(-Inf, -1, 0, 1.2, Inf), labels = FALSE)
data <- data.frame(x = x, flood = factor(floods), class = factor(class, ordered = TRUE))
fit <- clmm(class ~ x + (1 | flood), data = data, link = "probit", nAGQ = 1)
out <- list(source = paste("R", getRversion(), "ordinal", packageVersion("ordinal"), "clmm, link probit, nAGQ 1 (Laplace)"),
            flood = floods - 1, x = x, class = class - 1, theta = unname(fit$alpha), beta = unname(fit$beta),
            floodSd = unname(fit$ST[[1]][1, 1]), logLik = as.numeric(fit$logLik), effects = unname(fit$ranef))
writeLines(jsonlite::toJSON(out, digits = 12, auto_unbox = TRUE, pretty = FALSE), "floodEffect.json")
